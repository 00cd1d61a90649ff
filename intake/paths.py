"""The only place that knows folders; nothing here creates one as a side effect of asking."""

from __future__ import annotations

import os
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def shipped_protocols() -> Path:
    """Where the shipped protocol files are: inside a wheel, else beside pyproject.toml."""
    inside = PACKAGE / "_protocols"
    return inside if inside.is_dir() else PACKAGE.parent / "protocols"


def data_folder() -> Path:
    """The platform's folder for this program's data (it need not exist)."""
    from platformdirs import user_data_path

    return user_data_path("fishroom-intake", appauthor=False)


def own_protocols() -> Path:
    """Where the keeper's own protocol files go: INTAKE_PROTOCOLS, else in the data folder."""
    named = os.environ.get("INTAKE_PROTOCOLS")
    return Path(named) if named else data_folder() / "protocols"


def default_room() -> Path:
    """The room opened when none is named."""
    return data_folder() / "room.db"


def log_folder() -> Path:
    """Where a traceback is kept when the program itself fails."""
    from platformdirs import user_log_path

    return user_log_path("fishroom-intake", appauthor=False)
