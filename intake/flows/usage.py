"""The ways a job can end that are neither a problem in a value nor a refusal."""

from __future__ import annotations

from intake.store.trouble import RoomTrouble

__all__ = ["RoomTrouble", "Usage"]


class Usage(Exception):
    """An option that is missing, or that makes no sense with the others: exit 2."""
