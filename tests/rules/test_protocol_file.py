from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from intake.rules.protocol_file import SIZE_MAX_BYTES, FileBytes, read_file
from intake.science.problem import Problem


def refused(path: Path) -> Problem:
    found = read_file(path)
    assert isinstance(found, Problem)
    return found


def test_a_regular_file_is_read_with_the_hash_of_exactly_its_bytes(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"a: 1\r\n")
    assert read_file(path) == FileBytes(
        str(path), b"a: 1\r\n", hashlib.sha256(b"a: 1\r\n").hexdigest()
    )


def test_the_largest_file_is_read_and_one_byte_more_is_not(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"#" * SIZE_MAX_BYTES)
    assert isinstance(read_file(path), FileBytes)
    path.write_bytes(b"#" * (SIZE_MAX_BYTES + 1))
    assert refused(path).code == "too-big"


def test_size_is_looked_at_before_anything_is_read(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    with path.open("wb") as file:
        file.truncate(10 * 1024**4)
    assert refused(path).code == "too-big"


def test_links_folders_pipes_and_devices_are_refused(tmp_path: Path) -> None:
    real = tmp_path / "real.yaml"
    real.write_text("a: 1\n")
    link = tmp_path / "link.yaml"
    link.symlink_to(real)
    assert (refused(link).code, refused(link).text) == (
        "not-a-file",
        "this is a link to another file",
    )
    assert refused(tmp_path).text == "this is a folder"
    if hasattr(os, "mkfifo"):
        pipe = tmp_path / "pipe.yaml"
        os.mkfifo(pipe)
        assert refused(pipe).text == "this is a pipe"
    if Path("/dev/zero").exists():
        assert refused(Path("/dev/zero")).text == "this is a device, not a file"
    assert refused(tmp_path / "nothing.yaml").code == "not-a-file"
    assert refused(Path("a\x00b.yaml")).code == "not-a-file"


def test_a_link_put_in_place_after_the_look_is_not_followed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = tmp_path / "secret"
    secret.write_text("a: 1\n")
    path = tmp_path / "a.yaml"
    path.write_text("b: 1\n")
    look = os.lstat

    def swap(target: Path) -> os.stat_result:
        seen = look(target)
        if not path.is_symlink():
            path.unlink()
            path.symlink_to(secret)
        return seen

    monkeypatch.setattr(os, "lstat", swap)
    assert isinstance(read_file(path), Problem)


@pytest.mark.parametrize(("changes", "read"), [(1, True), (9, False)])
def test_a_file_changed_while_it_is_read_is_tried_once_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, changes: int, read: bool
) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("a: 1\n")
    left = [changes]
    real = os.read

    def disturbed(handle: int, size: int) -> bytes:
        got = real(handle, size)
        if got and left[0]:
            left[0] -= 1
            new = tmp_path / "new"
            new.write_text(f"a: {left[0]}{'0' * left[0]}\n")
            new.replace(path)
        return got

    monkeypatch.setattr(os, "read", disturbed)
    found = read_file(path)
    assert isinstance(found, FileBytes) is read
    if isinstance(found, Problem):
        assert "changed while it was read" in found.text
    else:
        assert found.content == path.read_bytes()
