"""Doses of the first shape, which did not keep the whole event."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from intake.science.kinds import unit_of

UNKNOWN = "unknown"


def with_event(content: Mapping[str, Any]) -> Mapping[str, Any]:
    """The entry with its event: what it did tell, and unknown for what nobody asked then."""
    fish = [
        {"id": UNKNOWN, "name": f["name"], "count": f["count"], "variety": UNKNOWN,
         "stage": UNKNOWN}
        for f in content.get("fish", ())
    ]  # fmt: skip
    amount = content["amount"]
    known = unit_of("amount", amount["unit"])
    event = {
        "reaches": UNKNOWN,
        "treated": sum(f["count"] for f in fish) or UNKNOWN,
        "sign": content.get("reason", UNKNOWN),
        "diagnosed_by": UNKNOWN,
        "vet": content.get("vet", UNKNOWN),
        "product": {
            "name": content.get("product", UNKNOWN), "named": "product" in content,
            "active": content["treatment"], "counted": UNKNOWN,
            "strength": content.get("strength_used", UNKNOWN), "batch": UNKNOWN,
            "expires": UNKNOWN, "opened": UNKNOWN,
        },
        "target": {"value": UNKNOWN, "unit": content["target_unit"], "by": UNKNOWN},
        "water_found": UNKNOWN,
        "amount": {
            "worked_out": UNKNOWN,
            "measured": f"{Decimal(repr(amount['value'])).normalize():f}", 
            "unit": known.canonical if known else UNKNOWN,
        },
        "tool": {"name": content.get("tool", UNKNOWN), "step": UNKNOWN, "unit": UNKNOWN},
        "planned": {
            "at_least_h": UNKNOWN, "at_most_h": UNKNOWN, "every_h": UNKNOWN, "times": UNKNOWN,
            "steps": [],
        },
        "at_start": _at_start(content.get("conditions", {})),
        "food": "ornamental, not for food",
        "holding": UNKNOWN,
        "program": UNKNOWN,
        "overridden": [
            {"code": code, "text": code, "reason": content.get("soft", UNKNOWN)}
            for code in content.get("said", ())
        ],
    }  # fmt: skip
    return {**content, "fish": fish, "event": event}


def _at_start(conditions: Mapping[str, Any]) -> dict[str, Any]:
    names = ("temp", "ph", "kh", "gh", "salt", "oxygen")
    found: dict[str, Any] = dict.fromkeys((*names, "air", "filter", "carbon"), UNKNOWN)
    for name in names:
        if name in conditions:
            kept = conditions[name]
            found[name] = {
                "value": kept["value"], "low": None, "high": None, "unit": "",
                "at": kept["at"], "evidence": kept["evidence"],
            }  # fmt: skip
    return found
