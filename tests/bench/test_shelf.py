"""The protocol files read and checked, against the YAML library alone."""

from __future__ import annotations

import math

import pytest
from ruamel.yaml import YAML

from intake import paths
from intake.rules.shelf import load_shelf
from tests.bench.figures import Stopwatch, Table

pytestmark = pytest.mark.bench


def test_the_shelf_is_read(table: Table) -> None:
    folder = paths.shipped_protocols()
    texts = [p.read_text(encoding="utf-8") for p in sorted(folder.rglob("*.yaml"))]
    ours = theirs = math.inf
    for _ in range(5):
        with Stopwatch() as events:
            for text in texts:
                for _event in YAML(typ="safe", pure=True).parse(text):
                    pass
        with Stopwatch() as shelf:
            assert not load_shelf([folder])[1]
        theirs, ours = min(theirs, events.spent), min(ours, shelf.spent)
    size = sum(len(text) for text in texts) // 1000
    note = f"{ours * 1000:.0f} ms, {size} kB"
    table.most("the shelf, against ruamel.yaml's own events", ours / theirs, 1.5, note=note)
