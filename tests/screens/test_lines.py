"""Rows of text."""

from __future__ import annotations

import pytest

from intake.screens.widgets.lines import path_rows


@pytest.mark.parametrize(
    ("path", "width", "rows", "shown"),
    [
        ("/a/typo.db", 20, 3, ["/a/typo.db"]),
        ("/folder/typo.db", 8, 3, ["/folder", "/typo.db"]),
        ("/long/folder/typo.db", 8, 2, ["…/folder", "/typo.db"]),
        ("", 8, 2, []),
    ],
)
def test_the_name_of_the_file_stays(path: str, width: int, rows: int, shown: list[str]) -> None:
    assert path_rows(path, width, rows) == shown
