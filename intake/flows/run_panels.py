"""The run of a bag as three charts: temperature, pH and NH3."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from math import exp

from intake.drawing.run_chart import Panel
from intake.flows.crossing_open import fit_of
from intake.flows.crossing_state import Crossing

Points = tuple[tuple[float, float], ...]
NH3_UNIT = "mg/L as N"
TEMP, PH, NH3 = 1, 2, 5
"""Where a row of the curve kept with a choice has its figures; the ends are behind them."""
EVERY_MIN = 3
"""How far apart the points of a float are [min]."""


def panels(run: Crossing, now: datetime | None) -> tuple[Panel, ...]:
    """Temperature, pH and NH3 over the minutes; those that are not known at all left out.

    Parameters
    ----------
    run
        The way across.
    now
        Where the now-line is; None where the run is over.
    """
    at = None if now is None else max(0.0, (now - run.start).total_seconds() / 60)
    found = [_temperature(run, at)]
    if run.kept and len(run.kept[0]) > NH3:
        found += [_ph(run, at), _nh3(run, at)]
    return tuple(p for p in found if p.likely or p.measured)


def _column(rows: Sequence[Sequence[float]], column: int) -> Points:
    return tuple((row[0], row[column]) for row in rows)


def _measured(run: Crossing, what: str) -> Iterator[tuple[float, float]]:
    for c in run.checks:
        value = getattr(c, what)
        if c.told and value is not None:
            yield max(0.0, (c.at - run.start).total_seconds() / 60), value


def _temperature(run: Crossing, now: float | None) -> Panel:
    measured = tuple(_measured(run, "measured_c"))
    kept = _column(run.kept, TEMP)
    panel = Panel("temperature", "C", kept, measured=measured, now=now)
    if run.opened is not None and run.points:
        bands = fit_of(run.opened, run.points).minutes
        likely = tuple((float(b.minute), b.temp_c) for b in bands)
        return Panel("temperature", "C", likely, before=kept, measured=measured, now=now)
    if not run.replans or run.bag_c is None or run.there_c is None:
        return panel
    there, gap = run.there_c, run.bag_c - run.there_c
    end = max((run.latest - run.start).total_seconds() / 60, 1.0)
    minutes = [*range(0, int(end), EVERY_MIN), end]

    def by(tau_min: float) -> Points:
        return tuple((float(m), there + gap * exp(-m / tau_min)) for m in minutes)

    ends = by(run.tau_min.low), by(run.tau_min.high)
    low, high = ends if gap > 0 else ends[::-1]
    before = kept if measured else ()
    return Panel("temperature", "C", by(run.tau_min.nominal), low, high, before, measured, now=now)


def _ph(run: Crossing, now: float | None) -> Panel:
    measured = tuple(_measured(run, "measured_ph"))
    likely, low, high, before = _ends(run, "ph", PH)
    return Panel("pH", "", likely, low, high, before, measured, now=now)


def _nh3(run: Crossing, now: float | None) -> Panel:
    likely, low, high, before = _ends(run, "nh3_n_mg_l", NH3)
    return Panel(
        "NH3", NH3_UNIT, likely, low, high, before,
        limit=run.limit_n_mg_l, now=now, from_zero=True,
    )  # fmt: skip


def _ends(run: Crossing, name: str, column: int) -> tuple[Points, Points, Points, Points]:
    """Likely, low and high by what was read, and what was foretold before that."""
    kept = [_column(run.kept, column + n) for n in range(3)]
    if run.opened is None or not run.points:
        return kept[0], kept[1], kept[2], ()
    spans = [(float(b.minute), getattr(b, name)) for b in fit_of(run.opened, run.points).minutes]
    likely, low, high = (
        tuple((minute, getattr(span, end)) for minute, span in spans)
        for end in ("nominal", "low", "high")
    )
    return likely, low, high, kept[0]
