"""From the global options to a desk, and to the screens."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from intake import paths
from intake.cli.parser import Globals
from intake.flows.desk import Desk, check_room
from intake.flows.usage import Usage


def room_of(options: Globals) -> Path:
    """The room meant: --room, else INTAKE_ROOM, else the platform's data folder."""
    named = options.room or os.environ.get("INTAKE_ROOM")
    return Path(named).expanduser().absolute() if named else paths.default_room()


def desk_of(options: Globals) -> Desk:
    """The desk a command works at."""
    keeper = options.keeper or os.environ.get("INTAKE_KEEPER") or None
    return Desk(room_of(options), keeper=keeper, at=options.at, rehearsal=options.dry_run)


def open_screens(options: Globals, mode: str = "today") -> int:
    """Opens the screens on the room, or the first start where there is none.

    Raises
    ------
    Usage
        There is no terminal to draw on.
    """
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise Usage("the screens need a terminal; name a command, or see intake --help")
    desk = desk_of(options)
    check_room(desk)
    from intake.screens.start import run_app

    return run_app(desk, mode)
