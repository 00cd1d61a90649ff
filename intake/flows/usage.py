from __future__ import annotations


class Usage(Exception):
    """An option that is missing, or that makes no sense with the others: exit 2."""
