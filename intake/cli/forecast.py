"""`intake forecast VESSEL`: oxygen when the air stops, KH left, and the next change of water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.forecast import forecast
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.figures import figure, time_text
from intake.science.show import show, show_range


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:
    """Answers what lies ahead of one vessel."""
    parser = Parser(f"intake {word}")
    parser.place("vessel", "the vessel meant")
    parser.option("warm", "the temperature of a warm day, instead of 3 and 5 C more")
    parser.option("altitude", "where the room stands")
    parser.option("pressure", "air pressure at the room, not reduced to sea level")
    typed = parser.read(tokens)
    return Reply(forecast(desk_of(options), str(typed.pop("vessel")), typed), _told)


def _range(a: Mapping[str, Any], key: str, unit: str) -> str:
    low, high = a[f"{key}_low"], a[f"{key}_high"]
    if low is None or high == 0.0:
        return "no end" if low is None else "no time"
    return show_range(low, high, unit)


def _told(a: dict[str, Any]) -> list[str]:
    return [str(a["vessel"]), *_oxygen(a), *_water(a)]


def _oxygen(a: Mapping[str, Any]) -> Iterator[str]:
    if "saturation_mg_l" not in a:
        yield "  oxygen                  not worked out"
        return
    yield f"  full of air it holds    {_range(a, 'saturation_mg_l', 'mg/L')} of oxygen"
    read = _range(a, "oxygen_mg_l", "mg/L") if a["oxygen_measured"] else "not read"
    yield f"  oxygen now              {read}"
    if not a["fish"]:
        yield "  without air             no fish written down"
        return
    head = f"{a['fish']} fish use"
    yield f"  {head:<22}  {_range(a, 'oxygen_use_mg_h', 'mg')} an hour, at rest to active"
    target, danger = (figure(a[k]) for k in ("oxygen_target_mg_l", "oxygen_danger_mg_l"))
    yield from _hours("without air", a, target, danger)
    for day in a["warm"]:
        yield from _hours(f"at {figure(day['temp_c'], 3)} C", day, target, danger)
    if "oxygen_hours_untreated_low" in a:
        untreated = _range(a, "oxygen_hours_untreated", "h")
        yield f"  without the treatment   {target} mg/L in {untreated}"


def _hours(label: str, a: Mapping[str, Any], target: str, danger: str) -> Iterator[str]:
    first, then = _range(a, "oxygen_hours", "h"), _range(a, "oxygen_hours_to_danger", "h")
    yield f"  {label:<22}  {target} mg/L in {first}, {danger} in {then}"


def _water(a: Mapping[str, Any]) -> Iterator[str]:
    if a["kh_used_per_day_meq_l"] is not None:
        used = show(a["kh_used_per_day_meq_l"] / MEQ_L_PER_DKH, "dKH", digits=2)
        left = a["kh_days_to_low"]
        days = f"{figure(left, 2)} days until it is low" if left else "it is low already"
        yield f"  KH                      {used} a day is used, {days}"
    else:
        yield "  KH                      not worked out"
    if a["ph_crash"]:
        yield "  next change             a pH crash: intake rescue ph-crash"
    elif a["next_change_h"] is None:
        yield "  next change             not worked out"
    else:
        hours = a["next_change_h"]
        when = "now" if hours <= 0 else f"in {time_text(hours)}"
        share = a["next_change_percent"]
        size = "" if share is None else f", {figure(share, 2)} %, {show(a['next_change_l'], 'L')}"
        yield f"  next change             {when}{size}"
