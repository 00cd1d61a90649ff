"""`dose` of heat: the days on which the heater goes up; nothing is weighed."""

from __future__ import annotations

from typing import Any

from intake.flows.notes import Notes
from intake.science.dose import DoseRequest
from intake.science.heating import plan_raise


def raise_keys(request: DoseRequest, notes: Notes) -> dict[str, Any]:
    """The keys of the answer of `intake dose` for a course that warms the water.

    They are those of any dose; there is no amount, and ``doses`` are the rises.

    Raises
    ------
    Refused
        As `plan_raise`.
    """
    raised = plan_raise(request)
    treatment, course, volume = request.treatment, raised.course, request.volume
    notes.warnings += raised.warnings
    notes.because += raised.because
    return {
        "title": treatment.title,
        "treatment": treatment.id,
        "course": course.name,
        "target": float(raised.target_c),
        "target_unit": course.unit,
        "basis": treatment.basis,
        "volume_l": None if volume is None else float(volume.volume_l),
        "volume_l_low": None if volume is None else float(volume.low_l),
        "volume_l_high": None if volume is None else float(volume.high_l),
        "already": float(raised.from_c),
        "amount": None,
        "amount_unit": None,
        "measured": None,
        "steps": None,
        "rounding_percent": None,
        "low": float(course.low),
        "usual": float(course.usual),
        "high": float(course.high),
        "hard_limit": float(raised.hard_limit_c),
        "hard_limit_source": raised.hard_limit_source,
        "reaches": list(request.reaches),
        "repeat": None,
        "doses": [
            {"target": float(r.to_c), "at": r.at_utc.isoformat(), "amount": None}
            for r in raised.rises
        ],
        "against": list(course.against),
        "cautions": list(treatment.cautions),
        "handling": [],
        "before": list(course.before),
        "during": list(course.during),
        "after": list(course.after),
        "stop_signs": list(course.stop_signs),
        "stock": None,
        "feed_g_per_kg": None,
        "protocol": {
            "path": treatment.path,
            "version": treatment.version,
            "sha256": treatment.sha256,
        },
        **notes.as_keys(),
    }
