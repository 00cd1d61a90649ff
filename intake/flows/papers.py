"""Papers of the room: worked out, written to a file of their own, and where that is."""

from __future__ import annotations

import os
from importlib import import_module
from pathlib import Path
from typing import Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.drawn_gravel import gravel_cm
from intake.flows.facts.things import Vessel
from intake.flows.notes import Notes
from intake.flows.waterline_table import sheet_of
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import read_quantity

FORMS = {".txt": ("text", "as_text"), ".html": ("page", "as_page"), ".pdf": ("pdf", "as_pdf")}
"""By the end of a file: what the module of that form is called after, and what makes it."""
STEPS_CM = (1.0, 2.0)
"""The steps a tape of paper can be read at [cm]."""


def waterline(desk: Desk, name: str, out: str, every: str = "1 cm") -> dict[str, Any]:
    """Writes the waterline table of a vessel and answers with its rows and where it is.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then no file is made.
    """
    path = path_of(out)
    step = _step(every)
    with at_work(desk) as book:
        vessel = vessel_named(book, name)
        sheet = sheet_of(book, vessel, step, gravel_cm(vessel))
    write_paper(path, "waterline", sheet)
    return {
        "vessel": sheet.vessel,
        "system": sheet.system,
        "file": str(path),
        "rows": [
            {
                "depth_cm": row.depth_cm,
                "volume_l": row.volume_l,
                "volume_l_low": row.low_l,
                "volume_l_high": row.high_l,
                "per_cm_l": row.per_cm_l,
                "partly_dry": row.partly_dry,
            }
            for row in sheet.rows
        ],
        **Notes(because=list(sheet.notes)).as_keys(),
    }


def free_name(stem: str, end: str) -> str:
    """A file of that stem that is not there yet, in the folder worked in."""
    folder = Path.cwd()
    names = (f"{stem}{f'-{again}' if again > 1 else ''}{end}" for again in range(1, 1000))
    free = (folder / name for name in names if not (folder / name).exists())
    return str(next(free, folder / f"{stem}{end}"))


def file_name(desk: Desk, name: str, end: str) -> str:
    """A file that is not there yet, in the folder worked in; numbered, never named by a text."""
    with at_work(desk) as book:
        number = vessel_named(book, name).id
    return free_name(f"waterline-{number}", end)


def vessel_named(book: Book, name: str) -> Vessel:
    found = book.facts.find(name, ("vessel",), book.now)
    if isinstance(found, Problem):
        raise Unreadable(found.placed("SUBJECT"))
    assert isinstance(found, Vessel)
    return found


def path_of(out: str) -> Path:
    path = ending(out, tuple(FORMS))
    refuse_taken(path)
    return path


def ending(out: str, ends: tuple[str, ...]) -> Path:
    """The path as typed, whose end says what the file will be.

    Raises
    ------
    Unreadable
        wrong-kind, for any other end.
    """
    path = Path(out).expanduser().absolute()
    if path.suffix.lower() not in ends:
        text = f"'{path.name[:40]}' does not end in {', '.join(ends)}"
        raise Unreadable(Problem("wrong-kind", text, "the end says what it will be", "--out"))
    return path


def refuse_taken(path: Path) -> None:
    """Nothing that is there is written over.

    Raises
    ------
    Unreadable
        name-taken.
    """
    if os.path.lexists(path):
        text = f"{path} is there already and is never written over"
        raise Unreadable(Problem("name-taken", text, "another name, or move it away", "--out"))


def _step(every: str) -> float:
    read = read_quantity(every, "length")
    if isinstance(read, Problem):
        raise Unreadable(read.placed("--every"))
    step = float(read.value or 0)
    if step not in STEPS_CM:
        text = f"'{every[:40]}' is no step of the tape"
        raise Unreadable(Problem("out-of-range", text, "1 cm or 2 cm", "--every"))
    return step


def write_paper(path: Path, name: str, paper: object) -> None:
    """Makes a paper of ``intake.report`` in the form its file's end asks for, and puts it down."""
    form, maker = FORMS[path.suffix.lower()]
    made = getattr(import_module(f"intake.report.{name}_{form}"), maker)(paper)
    put(path, made if isinstance(made, bytes) else made.encode())


def there(path: Path) -> bytes | None:
    """What stands in a file, None where there is none.

    Raises
    ------
    Unreadable
        It is no plain file, or cannot be read.
    """
    if not os.path.lexists(path):
        return None
    if path.is_symlink() or not path.is_file():
        text = f"{path} is there already and is no plain file"
        raise Unreadable(Problem("name-taken", text, "another name", "--out"))
    try:
        return path.read_bytes()
    except OSError as error:
        text = f"{path} cannot be read: {error.strerror or error}"
        raise Unreadable(Problem("wrong-kind", text, "another name", "--out")) from error


def put(path: Path, made: bytes, *, over: bool = False) -> None:
    """Puts a file down whole or not at all: where nothing is yet, or over the one that was read.

    Raises
    ------
    Unreadable
        It cannot be written there.
    """
    half = path.with_name(f".paper-{os.getpid()}.part")
    try:
        with half.open("xb") as file:
            file.write(made)
            file.flush()
            os.fsync(file.fileno())
        if over:
            half.replace(path)
        else:
            _place(half, path)
    except OSError as error:
        text = f"{path} cannot be written: {error.strerror or error}"
        raise Unreadable(Problem("wrong-kind", text, "another folder", "--out")) from error
    finally:
        half.unlink(missing_ok=True)


def _place(half: Path, path: Path) -> None:
    """Gives a file its name, unless something came to have it meanwhile."""
    try:
        os.link(half, path)
    except FileExistsError:
        raise
    except OSError:  # a disk without hard links
        with path.open("xb") as file:
            file.write(half.read_bytes())
