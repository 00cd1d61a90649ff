"""Sets the program up beside itself and opens it on the demo room.

    python3 demo/start.py            the screens
    python3 demo/start.py --check    needs no terminal: prints a summary of the demo room
    python3 demo/start.py --new      begins the demo room again

Any Python since 2.7 can read this file; it is told what is missing.
"""

from __future__ import print_function

import os
import subprocess
import sys
import time

sys.path[0] = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))

from tests import bootstrap, place


def demo_room(intake, folder, environ, new):
    # type: (list[str], str, dict[str, str], bool) -> str
    """Today's demo room, built when there is none: its dates are reckoned from today."""
    rooms = os.path.join(folder, "demo")
    room = os.path.join(rooms, time.strftime("%Y-%m-%d") + ".room")
    if not new and os.path.exists(room):
        return room
    with place.OnlyOne(rooms):
        if not os.path.isdir(rooms):
            os.makedirs(rooms)
        fresh = os.path.join(rooms, "unfinished.room")
        if os.path.exists(fresh):
            os.remove(fresh)
        place.say("Building the demo room.")
        bootstrap.run(intake + ["demo", "--out", fresh], environ)
        os.replace(fresh, room)
    return room


def summary(intake, environ):
    # type: (list[str], dict[str, str]) -> int
    """Prints what the demo room holds and what is due, and checks its journal; 0 is well."""
    for words in (["--version"], ["room", "show"], ["today"], ["verify"]):
        print("\n$ intake " + " ".join(words), flush=True)
        code = subprocess.run(intake + words, env=environ, stdin=subprocess.DEVNULL).returncode
        if code:
            place.say("intake %s ended with %d" % (" ".join(words), code))
            return code
    return 0


def main(check, new):
    # type: (bool, bool) -> int
    """Opens the screens on the demo room, or prints its summary."""
    folder = bootstrap.begin(__file__, [])
    environ = place.clean_environment(os.environ)
    intake = [place.environment_python(folder), "-m", "intake"]
    try:
        environ["INTAKE_ROOM"] = demo_room(intake, folder, environ, new)
    except subprocess.CalledProcessError as failed:
        place.say("The demo room could not be built; the lines above say why.")
        return int(failed.returncode)
    if check:
        return summary(intake, environ)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        place.say("The screens need a terminal; without one: python3 demo/start.py --check")
        return 2
    opened = intake + ["open", "receive"]
    if os.name == "posix":
        os.execve(opened[0], opened, environ)
    return subprocess.run(opened, env=environ).returncode


if __name__ == "__main__":
    asked = sys.argv[1:]
    if set(asked) - {"--check", "--new"}:
        sys.stderr.write("usage: python3 demo/start.py [--check] [--new]\n")
        sys.exit(2)
    sys.exit(main("--check" in asked, "--new" in asked))
