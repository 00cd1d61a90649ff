"""Makes the project's own environment with the standard library alone.

tests/run.py and demo/start.py both begin here. Any Python since 2.7 can read these files, so that
an old one is told what is needed; hence type comments and percent formatting.
"""

from __future__ import print_function

import io
import json
import os
import shutil
import subprocess
import sys

from tests import place
from tests.place import Stop, say

LOWEST = (3, 11)
SPACE_MB = {"demo": 400, "test": 800, "test-full": 1200}
"""Free space asked for before a set-up, by the largest extra: twice what was seen on Linux."""

AGAIN = "Nothing half-made is used: the next start begins again."


def python_problem(script, version, windows, newer=None):
    # type: (str, tuple[int, ...], bool, str | None) -> str | None
    """What to tell somebody whose Python is too old, or None."""
    if tuple(version[:2]) >= LOWEST:
        return None
    name = os.path.basename(os.path.dirname(script)) + os.sep + os.path.basename(script)
    if windows:
        advice = "install a newer one from python.org, then type: py -3 " + name
    elif newer:
        advice = "this machine has one, type: %s %s" % (newer, name)
    else:
        advice = "install a newer one, then type: python3 " + name
    have = "%d.%d" % tuple(version[:2])
    need = "%d.%d" % LOWEST
    return "Python %s or newer is needed and this is Python %s: %s" % (need, have, advice)


def newer_python():
    # type: () -> str | None
    """A command on this machine that starts a Python new enough, or None."""
    for minor in range(19, LOWEST[1] - 1, -1):
        name = "python3.%d" % minor
        try:
            started = subprocess.Popen(
                [name, "-c", ""], stdout=subprocess.PIPE, stderr=subprocess.PIPE
            )
            started.communicate()
        except OSError:
            continue
        if started.returncode == 0:
            return name
    return None


def run(command, environ):
    # type: (list[str], dict[str, str]) -> None
    """Runs one step of the set-up, its output kept back unless it fails."""
    done = subprocess.run(
        command,
        env=environ,
        check=False,
        close_fds=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    if done.returncode:
        say(done.stdout.decode("utf-8", "replace").rstrip())
        raise subprocess.CalledProcessError(done.returncode, command)


def check_parts(uv):
    # type: (str | None) -> None
    """Refuses a Python without the parts a set-up needs; Debian packs them separately."""
    from importlib.util import find_spec

    missing = [part for part in ("venv", "ensurepip") if find_spec(part) is None]
    if "venv" in missing or (missing and not uv):
        package = "python%d.%d-venv" % sys.version_info[:2]
        raise Stop(
            "This Python has no %s. On Debian or Ubuntu: sudo apt install %s. "
            "Elsewhere install Python from python.org." % (" and no ".join(missing), package)
        )


def check_space(folder, extras):
    # type: (str, list[str]) -> None
    """Refuses to begin on a disk that would fill up half way."""
    need = max(SPACE_MB.get(extra, 0) for extra in ["demo"] + extras)
    free = shutil.disk_usage(os.path.dirname(folder)).free // 10**6
    if free < need:
        raise Stop("%s needs about %d MB free and has %d MB." % (folder, need, free))


def installer(python, uv):
    # type: (str, str | None) -> list[str]
    """The command that installs into the interpreter's environment; options may follow it."""
    if uv:
        return [uv, "pip", "install", "--quiet", "--python", python]
    return [python, "-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]


def install(folder, extras):
    # type: (str, list[str]) -> None
    """Fills the folder: the environment, everything pinned, then the project in place."""
    environ, python = place.clean_environment(os.environ), place.environment_python(folder)
    asked = place.asked_for()
    wanted = [one for extra in [""] + extras for one in asked[extra]]
    if not os.path.exists(python):
        run([place.base_python(), "-I", "-m", "venv", "--without-pip", folder], environ)
    uv = shutil.which("uv")
    user_cache = place.cache_folders(environ, sys.platform)[0]
    if uv and "UV_CACHE_DIR" not in environ and not place.writable(user_cache):
        environ["UV_CACHE_DIR"] = os.path.join(folder, "caches", "uv")
    for tool in [uv, None] if uv else [None]:
        try:
            if tool is None:
                run([python, "-I", "-m", "ensurepip"], environ)
            command = installer(python, tool)
            run(command + ["-c", place.CONSTRAINTS] + wanted, environ)
            run(command + ["--no-deps", "--no-build-isolation", "-e", place.ROOT], environ)
        except subprocess.CalledProcessError:
            if tool is None:
                raise
            say("uv could not do it; trying pip.")
        else:
            return


def check_theirs(folder):
    # type: (str) -> None
    """Refuses an environment somebody else made when it does not work; it is never deleted."""
    test = "import sys; sys.exit(sys.version_info < (%d, %d))" % LOWEST
    try:
        run([place.environment_python(folder), "-c", test], place.clean_environment(os.environ))
    except (OSError, subprocess.CalledProcessError):
        raise Stop("%s was not made by this script and does not work: move it away." % folder)


def set_up(folder, extras, found):
    # type: (str, list[str], str) -> None
    """Makes the environment, or brings it up to date; the stamp comes last."""
    if found == "broken":
        shutil.rmtree(folder)
    if found == "theirs":
        check_theirs(folder)
    else:
        if not os.path.isdir(folder):
            os.makedirs(folder)
        io.open(os.path.join(folder, place.BEGUN), "ab").close()
    if found == "behind":
        os.remove(os.path.join(folder, place.STAMP))
    install(folder, extras)
    stamp = os.path.join(folder, place.STAMP)
    with io.open(stamp + ".new", "w", encoding="utf-8") as file:
        json.dump(place.wanted_stamp(folder, extras), file, indent=1)
    os.replace(stamp + ".new", stamp)


def ready(extras):
    # type: (list[str]) -> str
    """The folder of an environment that holds the project and these extras; made when needed."""
    folder = place.environment_folder(extras)
    if place.state(folder, place.wanted_stamp(folder, extras)) == "ready":
        return folder
    with place.OnlyOne(folder):
        found = place.state(folder, place.wanted_stamp(folder, extras))
        if found == "ready":
            return folder
        check_parts(shutil.which("uv"))
        check_space(folder, extras)
        has = place.read_stamp(folder).get("extras") if found == "behind" else None
        everything = sorted(set(extras).union(has if isinstance(has, list) else []))
        say("Setting up %s (once; needs the network, takes a minute or two)." % folder)
        set_up(folder, everything, found)
    return folder


def begin(script, extras):
    # type: (str, list[str]) -> str
    """`ready`, or the end of the program with one clear sentence. What both scripts call first."""
    old = sys.version_info[:2] < LOWEST
    newer = newer_python() if old else None
    problem = python_problem(script, sys.version_info[:2], os.name == "nt", newer)
    if problem:
        sys.exit(problem)
    try:
        return ready(extras)
    except Stop as stop:
        sys.exit(str(stop))
    except subprocess.CalledProcessError as failed:
        step = " ".join(failed.cmd[:5])
        sys.exit("The set-up stopped at: %s\nThe lines above say why. %s" % (step, AGAIN))
    except KeyboardInterrupt:
        sys.exit("Stopped. " + AGAIN)
