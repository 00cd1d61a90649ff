"""Starts the program: the version, foreign files, then the command line. A bug leaves a log."""

from __future__ import annotations

import io
import os
import sys

CLASH = (
    "intake: files of this program are missing, or replaced by another distribution that is also "
    "imported as 'intake'. Give fishroom-intake an environment of its own: "
    "pipx install fishroom-intake, or uv tool install fishroom-intake."
)
INTERRUPTED = 130
PIPE_CLOSED = 141
"""What shells report for a program stopped by ctrl-c, or by a reader that went away."""
BUG = 70
LOG_BYTES = 1_000_000
"""The log of failures is begun again above this size."""


def run() -> int:
    """The exit code of the program; what the `intake` command and `python -m intake` call."""
    import intake

    if getattr(intake, "DISTRIBUTION", "") != "fishroom-intake":
        print(CLASH, file=sys.stderr)
        return BUG
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        code = _answer(sys.argv[1:], intake.__version__)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        # Nobody reads any more; what Python flushes at exit must not complain either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return PIPE_CLOSED
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as bug:
        if isinstance(bug, ModuleNotFoundError) and str(bug.name).startswith("intake."):
            print(CLASH, file=sys.stderr)
        _log(bug)
        return BUG
    return code


def _answer(words: list[str], version: str) -> int:
    if words == ["--version"]:
        print(f"intake {version}")
        return 0
    from intake.cli import main

    try:
        return main(words)
    except SystemExit as ended:
        if isinstance(ended.code, str):
            print(ended.code, file=sys.stderr)
            return 1
        return ended.code or 0


def _log(bug: Exception) -> None:
    """Keeps the traceback where only this user reads it: it may quote the record."""
    import traceback

    from intake.clock import Clock
    from intake.paths import log_folder

    text = "".join(traceback.format_exception(bug))
    path = log_folder() / "failures.log"
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        again = path.exists() and path.stat().st_size > LOG_BYTES
        how = os.O_WRONLY | os.O_CREAT | (os.O_TRUNC if again else os.O_APPEND)
        with os.fdopen(os.open(path, how, 0o600), "w", encoding="utf-8") as log:
            log.write(f"{Clock().now().isoformat()}\n{text}\n")
    except OSError as unwritable:
        print(f"{text}\nintake: a bug; {path} cannot be written: {unwritable}", file=sys.stderr)
        return
    print(f"intake: a bug: {type(bug).__name__}. Details are kept in {path}", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(run())
