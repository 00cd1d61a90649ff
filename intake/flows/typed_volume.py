"""A volume typed beside a vessel: it wins, and is held to the water the room has recorded."""

from __future__ import annotations

from dataclasses import replace

from intake.flows.dose_asking import Asking
from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.dose_checks import LEAST_VOLUME_L
from intake.science.dose_compared import beside_recorded
from intake.science.dosing import judge_amount
from intake.science.limits import allowed
from intake.science.problem import Refused


def held_to_recorded(ask: Asking, request: DoseRequest, answer: DoseAnswer) -> None:
    """Warns where the two differ, and stops what `record dose` would stop in the recorded water.

    Raises
    ------
    Refused
        ``over-hard-limit``: in the recorded water the amount passes it.
    """
    recorded = ask.recorded_water
    if recorded is None or request.volume is None:
        return
    if not allowed(recorded.low_l, LEAST_VOLUME_L, None):
        return
    for warning in beside_recorded(request.volume, recorded):
        ask.notes.warn(warning.code, warning.text)
    amount = answer.amount if answer.measured is None else answer.measured
    if not amount:
        return
    try:
        judge_amount(replace(request, volume=recorded), amount, answer.amount_unit)
    except Refused as refusal:
        refusal.way_out = "leave --volume out, or record today's line; limits are judged in that"
        raise
