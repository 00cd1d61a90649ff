"""Where the project's own environment lies, what it says of itself, and the lock beside it.

Any Python since 2.7 can read this file; tests/bootstrap.py says why.
"""

from __future__ import print_function

import hashlib
import io
import json
import os
import platform
import sys
import tempfile
import time

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
CONSTRAINTS = os.path.join(ROOT, "tests", "constraints.txt")
STAMP = "intake-ready.json"
BEGUN = "intake-begun"

KEPT = (
    "PYTHONDONTWRITEBYTECODE PYTHONPYCACHEPREFIX PYTHONHASHSEED PYTHONUNBUFFERED "
    "PIP_INDEX_URL PIP_EXTRA_INDEX_URL PIP_FIND_LINKS PIP_NO_INDEX PIP_TRUSTED_HOST PIP_CERT "
    "PIP_CLIENT_CERT PIP_PROXY PIP_DEFAULT_TIMEOUT PIP_TIMEOUT PIP_RETRIES PIP_CACHE_DIR "
    "PIP_NO_CACHE_DIR PIP_CONFIG_FILE PIP_KEYRING_PROVIDER UV_CACHE_DIR UV_CONFIG_FILE "
    "UV_DEFAULT_INDEX UV_EXTRA_INDEX_URL UV_FIND_LINKS UV_OFFLINE UV_NATIVE_TLS UV_SYSTEM_CERTS "
    "UV_INSECURE_HOST UV_KEYRING_PROVIDER UV_HTTP_TIMEOUT UV_LINK_MODE UV_NO_CACHE"
).split()
"""What may stay of the settings dropped below: where packages come from, and harmless habits."""

DROPPED = (
    "PYTHON PIP_ UV_ PYTEST_ MYPY RUFF_ HYPOTHESIS_ INTAKE_ VIRTUAL_ENV CONDA_ __PYVENV_LAUNCHER__"
).split()


class Stop(Exception):
    """The set-up cannot go on; the text says why and what to do."""


def say(text):
    # type: (str) -> None
    """A line of talk, on stderr: stdout belongs to what is started."""
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


def clean_environment(environ):
    # type: (dict[str, str] | os._Environ[str]) -> dict[str, str]
    """The environment without what would bend an installation or another Python's search path."""
    kept = {}
    for name, value in environ.items():
        bends = any(name.upper().startswith(start) for start in DROPPED)
        if not bends or name.upper() in KEPT or name.upper().startswith("UV_INDEX"):
            kept[name] = value
    # PIP_USER=0 also beats `user = true` in a pip configuration file.
    kept.update(PYTHONUTF8="1", PYTHONNOUSERSITE="1", PYTHONSAFEPATH="1", PIP_USER="0")
    return kept


def writable(folder):
    # type: (str) -> bool
    """Whether a file can really be made there: permission bits do not tell (root, read-only)."""
    try:
        if not os.path.isdir(folder):
            os.makedirs(folder, 0o700)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def cache_folders(environ, system):
    # type: (dict[str, str] | os._Environ[str], str) -> list[str]
    """Where an environment may lie when the clone is read-only, best first."""
    home = os.path.expanduser("~")
    if system == "win32":
        cache = environ.get("LOCALAPPDATA") or os.path.join(home, "AppData", "Local")
    elif system == "darwin":
        cache = os.path.join(home, "Library", "Caches")
    else:
        cache = environ.get("XDG_CACHE_HOME") or os.path.join(home, ".cache")
    own = str(os.getuid()) if hasattr(os, "getuid") else environ.get("USERNAME", "")
    shared = os.path.join(tempfile.gettempdir(), "fishroom-intake-" + own)
    name = "clone-" + hashlib.sha256(ROOT.encode("utf-8")).hexdigest()[:12]
    return [os.path.join(cache, "fishroom-intake", name), os.path.join(shared, name)]


def environment_python(folder, windows=os.name == "nt"):
    # type: (str, bool) -> str
    """The environment's interpreter."""
    parts = ("Scripts", "python.exe") if windows else ("bin", "python")
    return os.path.join(folder, *parts)


def base_python():
    # type: () -> str
    """The interpreter outside any environment."""
    return os.path.realpath(getattr(sys, "_base_executable", "") or sys.executable)


def asked_for():
    # type: () -> dict[str, list[str]]
    """What pyproject.toml asks for: under "" always, under each extra's name with that extra."""
    import tomllib

    with open(os.path.join(ROOT, "pyproject.toml"), "rb") as file:
        whole = tomllib.load(file)
    always = whole["project"]["dependencies"] + whole["build-system"]["requires"] + ["editables"]
    return dict(whole["project"]["optional-dependencies"], **{"": always})


def wanted_stamp(folder, extras):
    # type: (str, list[str]) -> dict[str, object]
    """What a finished environment says of itself."""
    with open(CONSTRAINTS, "rb") as file:
        pins = file.read()
    asked = json.dumps(asked_for(), sort_keys=True).encode("utf-8")
    return {
        "pins": hashlib.sha256(pins + asked).hexdigest(),
        "python": [
            platform.python_implementation(),
            platform.machine(),
            list(sys.version_info[:2]),
        ],
        "path": [ROOT, folder],
        "base": base_python(),
        "extras": sorted(extras),
    }


def read_stamp(folder):
    # type: (str) -> dict[str, object]
    """The stamp of a finished environment, empty when there is none or it cannot be read."""
    try:
        with io.open(os.path.join(folder, STAMP), encoding="utf-8") as file:
            read = json.load(file)
    except (OSError, ValueError):
        return {}
    return read if isinstance(read, dict) else {}


def state(folder, wanted):
    # type: (str, dict[str, object]) -> str
    """What the folder holds: ready, behind, broken, theirs (not ours) or nothing."""
    stamp, begun = read_stamp(folder), os.path.exists(os.path.join(folder, BEGUN))
    works = os.path.exists(environment_python(folder)) and os.path.exists(str(stamp.get("base")))
    if works and all(stamp.get(part) == wanted[part] for part in ("python", "path")):
        has, asked = stamp.get("extras"), wanted["extras"]
        enough = isinstance(has, list) and isinstance(asked, list) and set(asked) <= set(has)
        return "ready" if enough and stamp.get("pins") == wanted["pins"] else "behind"
    if begun:
        return "broken"
    return "theirs" if os.path.isdir(folder) and os.listdir(folder) else "nothing"


def ours(folder):
    # type: (str) -> bool
    """Whether nobody else could have put the folder there: the temporary folder is shared."""
    return sys.platform == "win32" or os.stat(folder).st_uid == os.getuid()


def environment_folder(extras):
    # type: (list[str]) -> str
    """The folder of the environment: `.venv` in the clone, else in the user's cache folder."""
    inside = os.path.join(ROOT, ".venv")
    if state(inside, wanted_stamp(inside, extras)) == "ready" or writable(ROOT):
        return inside
    for folder in cache_folders(os.environ, sys.platform):
        if writable(folder) and all(ours(one) for one in (folder, os.path.dirname(folder))):
            return os.path.join(folder, "venv")
    raise Stop("Neither %s nor a cache folder can be written, so nothing can be set up." % ROOT)


class OnlyOne(object):
    """A lock beside the folder: a second start waits until the first has finished."""

    def __init__(self, folder):
        # type: (str) -> None
        self.path = folder + ".lock"

    def __enter__(self):
        # type: () -> None
        self.handle = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600)
        if sys.platform != "win32":
            # An installer that outlives a killed start keeps the lock until it has ended too.
            os.set_inheritable(self.handle, True)
        if not take(self.handle):
            say("Another start is setting up the same folder; waiting for it.")
            while not take(self.handle):
                time.sleep(0.2)

    def __exit__(self, *_problem):
        # type: (*object) -> None
        os.close(self.handle)


def take(handle):
    # type: (int) -> bool
    """Whether the lock is ours now; the system takes it back however a process ends."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True
