"""The protocol files in force: the shipped ones, and the keeper's own over them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from intake import paths
from intake.science.problem import Problem

if TYPE_CHECKING:
    from intake.rules.one_file import Parsed

PLURAL = {"treatment": "treatments", "plan": "plans", "rescue": "rescues"}
"""The folder of each kind of which there are several."""


@dataclass(frozen=True, slots=True)
class ProtocolFile:
    """One file in force: `path` of it, `shipped` of the one it stands over or is."""

    id: str
    kind: str
    path: Path
    own: bool
    shipped: Path | None


def in_force() -> dict[str, ProtocolFile]:
    """Every protocol by its id, ``treatments/salt``; one of the keeper's own wins by id."""
    found: dict[str, ProtocolFile] = {}
    for folder, own in ((paths.shipped_protocols(), False), (paths.own_protocols(), True)):
        if not folder.is_dir():
            continue
        for path, kind in _files(folder):
            id_ = _id_of(path, kind, folder)
            before = found.get(id_)
            shipped = path if not own else (before.shipped if before else None)
            found[id_] = ProtocolFile(id_, kind, path, own, shipped)
    return dict(sorted(found.items(), key=lambda item: (_place(item[0]), item[0])))


def _place(id_: str) -> int:
    return 0 if id_.startswith("treatments/") else 1 if id_.startswith("plans/") else 2


def _files(folder: Path) -> list[tuple[Path, str]]:
    from intake.rules.folder import find_files

    files, _ = find_files(folder)
    return [(f.path, f.kind or parsed_at(f.path, f.kind).kind) for f in files]


def _id_of(path: Path, kind: str, folder: Path) -> str:
    if kind in PLURAL:
        return f"{PLURAL[kind]}/{path.stem}"
    return path.relative_to(folder).with_suffix("").as_posix()


def parsed_at(path: Path, kind: str) -> Parsed:
    """A file read and checked; again only after it changed."""
    try:
        info = path.stat()
        mark = (info.st_mtime_ns, info.st_size, info.st_ino)
    except OSError:
        mark = (0, 0, 0)
    return _parsed(path, kind, mark)


@lru_cache(maxsize=512)
def _parsed(path: Path, kind: str, mark: tuple[int, int, int]) -> Parsed:
    from intake.rules.one_file import parse_path

    del mark
    return parse_path(path, kind)


def parsed_text(id_: str, kind: str, text: str) -> Parsed:
    """A text as if it were saved under an id; its problems name the id, not a folder."""
    from intake.rules.one_file import parse_bytes
    from intake.rules.protocol_file import FileBytes

    content = text.encode("utf-8", "surrogatepass")
    read = FileBytes(f"{id_}.yaml", content, sha256_of(content))
    return parse_bytes(read, kind, id_.rpartition("/")[2])


def sha256_of(content: bytes) -> str:
    """The SHA-256 of exactly these bytes."""
    import hashlib

    return hashlib.sha256(content).hexdigest()


def text_of(path: Path) -> str:
    """The text of a file; bytes that are no text are shown as such, and are a problem anyway."""
    from intake.rules.protocol_file import read_file

    read = read_file(path)
    return "" if isinstance(read, Problem) else read.content.decode("utf-8", "replace")


def problems_of(files: Mapping[str, ProtocolFile], id_: str, parsed: Parsed) -> list[Problem]:
    """What is wrong with a file, names it mentions that no treatment has included."""
    from intake.rules.names import unknown_names

    others = [parsed_at(f.path, f.kind) for f in files.values() if f.id != id_]
    strange = [p for p in unknown_names([*others, parsed]) if p.path == parsed.path]
    return sorted({*parsed.problems, *strange}, key=lambda p: (p.line, p.column, p.code))
