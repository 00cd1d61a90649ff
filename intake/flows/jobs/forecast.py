"""What lies ahead of a vessel: oxygen without air, KH, and the next change of water."""

from __future__ import annotations

from collections.abc import Iterator

from intake.flows.desk import Desk, at_work
from intake.flows.forecast import Ahead, Hours, ahead
from intake.flows.names import unknown
from intake.flows.oxygen_here import OxygenHere
from intake.flows.views.forecast import ForecastView, HoursBar
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.nitrification import kh_used_meq_l
from intake.science.problem import Unreadable
from intake.science.show import show, show_range
from intake.science.span import Span

NIGHT_H = 8.0
"""A night in which nobody looks [h]. Common practice."""

LONG_H = 72.0
"""The far end is told no farther than this [h]. Common practice."""


def view(desk: Desk, name: str) -> ForecastView:
    """What lies ahead of the vessel of that name."""
    with at_work(desk) as book:
        vessel = book.facts.vessel_named(name)
        if vessel is None:
            raise Unreadable(unknown(name, (), "a vessel of this room"))
        found = ahead(book, vessel)
    target = figure(found.target_mg_l)
    return ForecastView(
        vessel.name,
        f"hours without air until {target} mg/L of oxygen",
        tuple(_bars(found)),
        tuple(_facts(found)),
        _because(found),
    )


def _because(found: Ahead) -> str:
    """What was taken for granted, warnings first."""
    said = [w.text for w in found.notes.warnings] + found.notes.assumptions
    return "; ".join(said)


def _bars(found: Ahead) -> Iterator[HoursBar]:
    o = found.oxygen
    if o is None or not o.fish:
        return
    yield _bar("now", found.hours(o))
    if o.takes:
        yield _bar("without treatment", found.hours(o, treated=False))
    for day in found.warm:
        yield _bar(f"a day of {figure(day.oxygen.temp_c.nominal, 3)} C", found.hours(day.oxygen))
    danger = figure(found.danger_mg_l)
    yield _bar(f"now, until {danger} mg/L", o.store().hours(found.danger_mg_l))


def _bar(label: str, hours: Hours) -> HoursBar:
    low, _, high = hours
    said = "no end" if low is None else show_range(low, high, "h")
    if high == 0.0:
        said = "no time"
    if low is not None and (high is None or high > LONG_H):
        said = f"{figure(low, 2)} to over {LONG_H:.0f} h"
    short = low is not None and not allowed(low, NIGHT_H, None)
    return HoursBar(label, said, low, high, short)


def _facts(found: Ahead) -> Iterator[tuple[str, str]]:
    o = found.oxygen
    if o is None:
        yield "oxygen", "not worked out"
    else:
        yield "oxygen", _oxygen(o)
        yield "fish", _fish(o)
        for takes in o.takes:
            taken = show(takes.oxygen_mg_l, "mg/L")
            yield "treatment", f"{takes.treatment} takes up to {taken} of oxygen"
    yield "KH", _kh(found)
    yield "change", _change(found)


def _range(span: Span, unit: str) -> str:
    return show_range(span.low, span.high, unit)


def _oxygen(o: OxygenHere) -> str:
    now = _range(o.oxygen_mg_l, "mg/L") if o.measured else "not read"
    at = show_range(o.temp_c.low, o.temp_c.high, "C", digits=3)
    at += "" if o.temp_read else ", not read"
    return f"{now}; full of air {_range(o.saturation_mg_l, 'mg/L')} ({at})"


def _fish(o: OxygenHere) -> str:
    heads = sum(f.count for f in o.fish)
    if not heads:
        return "none written down here"
    use = _range(o.use_mg_h, "mg")
    return f"{heads}, {_range(o.mass_g, 'g')} together; {use} of oxygen an hour, rest to active"


def _kh(found: Ahead) -> str:
    if found.water is None:
        return "not worked out: pH, KH and temperature are not read"
    made, days = found.water.made_n_mg_l, found.kh_days
    if made is None or days is None:
        return "not worked out: no feed written down this week"
    used = show(kh_used_meq_l(made) / MEQ_L_PER_DKH, "dKH", digits=2)
    left = f"{figure(days, 2)} days until it is low" if days > 0.0 else "it is low already"
    return f"{used} a day is used; {left}"


def _change(found: Ahead) -> str:
    if found.advice is not None and found.advice.crash:
        return "a pH crash: 0, then p, before any water is changed"
    if not found.next_text or found.water is None:
        return "not worked out"
    share = found.next_share
    litres = f", {show(found.water.volume_l.nominal * share, 'L')}" if share else ""
    return f"due {found.next_text}{litres}"
