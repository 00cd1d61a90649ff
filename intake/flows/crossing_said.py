"""What readings on the way say: against what was foretold, what they teach, what moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from math import log
from typing import TYPE_CHECKING, Any

from intake.flows.crossing_open import band_at, fit_of
from intake.flows.crossing_state import Check
from intake.flows.facts.noted import Noted
from intake.science.bag_replan import Over
from intake.science.figures import figure
from intake.science.floating import USUAL_TAU_MIN
from intake.science.limits import allowed
from intake.science.show import show, show_range

if TYPE_CHECKING:
    from intake.flows.crossing_run import Run

AS_FORETOLD_C = 0.5
"""A measured temperature within this of the foretold one is called as foretold [C]. Common
practice: twice what two thermometers differ by."""
AS_FORETOLD_PH = 0.1
"""The same for pH. Common practice: what a pH without +/- can be off."""
AS_FORETOLD_MIN = 3
"""An end that moves by less is not spoken of [min]. Common practice."""
LIFT_NOW_MIN = 2
"""A lift within this of the reading is a lift now [min]: how far apart the minutes are."""
BACK = "the clock went back: nobody knows at which minute"


def checks_of(run: Run) -> Iterator[Check]:
    """Every checkpoint against what was foretold before it."""
    for n, (at, read) in enumerate(run.read):
        minutes = run.minutes_at(at)
        temp_c, ph = _foretold(run, n, minutes)
        measured, acid = _value(read, "temp"), _value(read, "ph")
        said = _said(run, n, temp_c, ph)
        yield Check(at, temp_c, measured, ph, acid, said)


def untold_of(noted: Sequence[Noted]) -> Iterator[Check]:
    """Checkpoints of which the minute is not known."""
    for c in noted:
        temp_c, ph = _value(c.what, "temp"), _value(c.what, "ph")
        yield Check(c.at, None, temp_c, None, ph, BACK, told=False)


def _foretold(run: Run, n: int, minutes: float) -> tuple[float | None, float | None]:
    """Temperature [C] and pH as they were foretold for a reading by those before it."""
    before = run.points(run.read[:n])
    if run.opened is not None and before and minutes > 0:
        band = band_at(fit_of(run.opened, before).minutes, minutes)
        return band.temp_c, band.ph.nominal
    temp_c = run.foretold_c(minutes, run.tau(run.temps(run.read[:n])).nominal)
    shut = run.replans or run.way == "match-water"
    return temp_c, None if shut else run.kept(minutes, 2)


def _said(run: Run, n: int, temp_c: float | None, ph: float | None) -> str:
    at, read = run.read[n]
    measured, acid = _value(read, "temp"), _value(read, "ph")
    if measured is None and (run.replans or run.way == "match-water"):
        return "pH is not foretold while the bag is shut"
    unknown = measured is not None and (temp_c is None or run.there_c is None)
    if at <= run.start or unknown:
        return "counted from here" if measured is not None else ""
    was, now = (run.ends(run.read[:upto])[0] for upto in (n, n + 1))
    moved = abs((now - was).total_seconds()) / 60
    warm = _near(measured, temp_c, AS_FORETOLD_C)
    sour = _near(acid, ph, AS_FORETOLD_PH)
    if warm and sour and moved < AS_FORETOLD_MIN:
        return "as foretold"
    words = []
    if measured is not None and (run.replans or not warm):
        words.append(_pace(run, temp_c, measured))
    if not sour and acid is not None and ph is not None:
        words.append(f"pH {abs(acid - ph):.1f} {'higher' if acid > ph else 'lower'}")
    said = ", ".join(words) or "as foretold"
    return said if moved < 1 else f"{said}: end moved {_from_to(run, was, now)}"


def _near(measured: float | None, foretold: float | None, within: float) -> bool:
    return measured is None or foretold is None or allowed(abs(measured - foretold), None, within)


def _pace(run: Run, foretold: float | None, measured: float) -> str:
    """Whether the bag follows the vessel's temperature slower or faster than was foretold."""
    assert foretold is not None
    assert run.there_c is not None
    return "slower" if abs(measured - run.there_c) > abs(foretold - run.there_c) else "faster"


def _from_to(run: Run, was: datetime, now: datetime) -> str:
    return f"{_clock(run, was)} to {_clock(run, now)}"


def _clock(run: Run, moment: datetime) -> str:
    return f"{moment.astimezone(run.zone):%H:%M}"


def learned_of(run: Run) -> tuple[str, ...]:
    """What the readings teach of this bag; nothing where nothing was read."""
    points = run.points(run.read)
    if run.opened is not None and points:
        return fit_of(run.opened, points).learned
    temps = run.temps(run.read)
    tau, usual = run.tau(temps), USUAL_TAU_MIN
    if not temps or tau.low <= usual.nominal <= tau.high:
        return ()
    word = "faster" if tau.nominal < usual.nominal else "slower"
    return (
        f"it follows the temperature {word} than thought: half of the gap in"
        f" {_half(tau.nominal)} min, not {_half(usual.nominal)}",
    )


def _half(tau_min: float) -> str:
    return show(tau_min * log(2), "", step=1)


def replanned_of(run: Run) -> tuple[str, ...]:
    """What the newest reading moves, and why; nothing where nothing was read."""
    counted = [n for n, (at, _) in enumerate(run.read) if at > run.start]
    if not counted:
        return ()
    before, read = run.read[: counted[-1]], run.read
    was, now = run.ends(before)[0], run.ends(read)[0]
    over = run.lift(read).over
    told = list(_peak(run, before))
    if over is not None:
        told.insert(0, _lift(run, over))
    elif abs((now - was).total_seconds()) >= 60:
        told.append(f"end moved {_from_to(run, was, now)}")
    else:
        told.append(f"the end stays {_clock(run, now)}")
    return tuple(told)


def _lift(run: Run, over: Over) -> str:
    """That the drip ends early, with the number and why."""
    at, nh3 = run.ends(run.read)[0], over.nh3_n_mg_l
    range_ = show_range(nh3.low, nh3.high, "mg/L as N", digits=2)
    when = run.start + timedelta(minutes=over.minute)
    limit = figure(run.limit_n_mg_l)
    if at <= run.read[-1][0] + timedelta(minutes=LIFT_NOW_MIN):
        return f"lift across now: NH3 {range_} at {_clock(run, when)}, limit {limit}"
    return f"lift across by {_clock(run, at)}: NH3 {range_} at {_clock(run, when)}, limit {limit}"


def _peak(run: Run, before: Sequence[tuple[datetime, Mapping[str, Any]]]) -> Iterator[str]:
    """The NH3 still to come, and what was thought of it."""
    points = run.points(run.read)
    if run.opened is None or not points:
        return
    left = fit_of(run.opened, points).peak_left_n_mg_l
    text = show_range(left.low, left.high, "mg/L as N", digits=2)
    known = run.points(before)
    if known:
        was = fit_of(run.opened, known).peak_left_n_mg_l
        low, high = was.low, was.high
    else:
        low, high = _foretold_peak(run)
    thought = show_range(low, high, "", digits=2)
    yield f"NH3 still to come, dripped to the end, {text}, not {thought}"


def _foretold_peak(run: Run) -> tuple[float, float]:
    """The most NH3 of the way as it was foretold when it was chosen, low and high."""
    rows = run.run["foretold"]
    return max(row[6] for row in rows), max(row[7] for row in rows)


def _value(read: Mapping[str, Any], name: str) -> float | None:
    kept = read.get(name)
    return None if kept is None or kept["value"] is None else float(kept["value"])
