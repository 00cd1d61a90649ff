"""What the screens may load before anything is on screen."""

from __future__ import annotations

import json
import subprocess
import sys

HEAVY = (
    "sqlalchemy",
    "sqlmodel",
    "alembic",
    "numpy",
    "pint",
    "pydantic",
    "ruamel",
    "typst",
    "psycopg",
    "dateutil",
)

PROGRAM = """
import asyncio, json, sys
from intake.screens.app import IntakeApp
from intake.screens.theme import Look
from tests.screens.sample import SampleRoom, now

async def main():
    app = IntakeApp(SampleRoom(), Look(), now)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
    loaded = {name.split('.')[0] for name in sys.modules}
    ours = sorted(name for name in sys.modules if name.startswith('intake.'))
    print(json.dumps([sorted(loaded), ours]))

asyncio.run(main())
"""


def test_first_paint_loads_nothing_heavy_and_no_other_mode() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=True, timeout=120
    )
    loaded, ours = json.loads(done.stdout.splitlines()[-1])
    assert not set(HEAVY) & set(loaded)
    assert "intake.screens.today" in ours
    for mode in ("receive", "dose", "calendar", "fish", "vessels", "protocols"):
        assert f"intake.screens.{mode}" not in ours
    assert not [name for name in ours if name.startswith(("intake.store", "intake.rules"))]
