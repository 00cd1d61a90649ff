"""What lies ahead of a vessel: oxygen when the air stops, KH, and the next change of water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from intake.flows.change_here import Here, here
from intake.flows.change_words import percent, say_feed
from intake.flows.crash_words import plan_lines
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Vessel
from intake.flows.notes import Notes
from intake.flows.oxygen_here import OxygenHere, oxygen_here
from intake.flows.read_waters import Readings, readings_of
from intake.flows.reading_options import Reading, Typed
from intake.flows.usage import Usage
from intake.flows.workings import HPA_PER_ATM
from intake.science.change_advice import ChangeAdvice
from intake.science.figures import figure, time_text
from intake.science.nitrification import HOURS_A_DAY, kh_used_meq_l
from intake.science.oxygen import pressure_atm
from intake.science.problem import Problem, Refused, Unreadable
from intake.science.show import show
from intake.science.span import Span

WARM_DAY_C = (3.0, 5.0)
"""How much warmer a warm day is told for [C]. Common practice."""

Hours = tuple[float | None, float | None, float | None]
"""The careful end, the middle and the far end; None: for ever."""


@dataclass(frozen=True, slots=True)
class WarmDay:
    """The vessel on a warmer day."""

    rise_c: float
    oxygen: OxygenHere


@dataclass(frozen=True, slots=True)
class Ahead:
    """What lies ahead of a vessel, as far as its record tells.

    Parameters
    ----------
    target_mg_l, danger_mg_l
        Oxygen that is counted down to [mg/L].
    oxygen
        None where its readings are outside what the equations hold for.
    water, advice
        None where pH, KH or temperature was not read.
    ages_h
        How long ago each reading of its water was taken [h].
    """

    vessel: Vessel
    target_mg_l: float
    danger_mg_l: float
    oxygen: OxygenHere | None
    warm: tuple[WarmDay, ...]
    water: Here | None
    advice: ChangeAdvice | None
    ages_h: Mapping[str, float]
    notes: Notes

    def hours(self, oxygen: OxygenHere, *, treated: bool = True) -> Hours:
        """Hours without air until the target."""
        return oxygen.store(treated=treated).hours(self.target_mg_l)

    @property
    def kh_days(self) -> float | None:
        """Days until KH is low, the time since it was read taken off."""
        return self._since_read(None if self.advice is None else self.advice.kh_days_to_low)

    @property
    def kh_days_left(self) -> float | None:
        """Days until no KH is left, the time since it was read taken off."""
        return self._since_read(None if self.advice is None else self.advice.kh_days_left)

    @property
    def kh_days_to_crash(self) -> float | None:
        """Days until pH may crash, the time since KH was read taken off."""
        return self._since_read(None if self.advice is None else self.advice.kh_days_to_crash)

    def _since_read(self, days: float | None) -> float | None:
        return None if days is None else max(0.0, days - self.ages_h["kh"] / HOURS_A_DAY)

    @property
    def next_h(self) -> float | None:
        """Hours until the next change is due, the time since the readings taken off."""
        if self.advice is None:
            return None
        nh3, kh = self.advice.hours_to_limit, self.kh_days
        hours = [] if nh3 is None else [max(0.0, nh3 - self.ages_h.get("tan", 0.0))]
        hours += [] if kh is None else [kh * HOURS_A_DAY]
        return min(hours, default=None)

    @property
    def next_text(self) -> str:
        """When the next change is due, how big, and what makes it so; "" where nothing tells."""
        hours, kh, share = self.next_h, self.kh_days, self.next_share
        if hours is None:
            return ""
        by_kh = kh is not None and hours >= kh * HOURS_A_DAY
        why = "KH is low" if by_kh else "NH3 is at its limit"
        when = f"now: {why}" if hours <= 0 else f"in {time_text(hours)}, when {why}"
        return f"{when}, {percent(share)}" if share else when

    @property
    def next_share(self) -> float | None:
        """How much is changed then (0 to 1); None where nothing tells."""
        advice = self.advice
        if advice is None or advice.crash or advice.needed is None:
            return None
        return max(advice.needed.share_each, advice.share_now or 0.0) or None


def ahead(
    book: Book, vessel: Vessel, warm_c: float | None = None, station_pressure_atm: float = 1.0
) -> Ahead:
    """What lies ahead; what was not read is said, or a range stands for it."""
    notes = Notes()
    stages = {a.stage for a in book.facts.occupants([vessel.id])}
    shelf = book.shelf.water
    oxygen: OxygenHere | None = None
    warm: tuple[WarmDay, ...] = ()
    try:
        oxygen = oxygen_here(book, vessel, notes, station_pressure_atm)
        warm = _warm_days(oxygen, warm_c)
        if not warm:
            notes.assume(f"{figure(warm_c or 0.0)} C is no warmer than it is")
    except Refused as why:
        notes.assume(f"oxygen not worked out: {why.text}")
    system = book.facts.system_of(vessel)
    water, advice = None, None
    try:
        water = here(book, system, vessel, book.now, notes)
        advice = None if water is None else water.advice()
        if water is not None and len(system.vessels) > 1:
            shared = show(water.volume_l.nominal, "L")
            notes.assume(f"KH and the next change are of all of {system.name}, {shared}")
    except Refused as why:
        notes.assume(f"KH and the next change not worked out: {why.text}")
    found = Ahead(
        vessel,
        shelf.oxygen_target_mg_l(stages),
        shelf.oxygen_danger_mg_l(),
        oxygen,
        warm,
        water,
        advice,
        _ages(book, readings_of(book, system, vessel)),
        notes,
    )
    _say(found)
    return found


def _ages(book: Book, readings: Readings) -> dict[str, float]:
    return {n: (book.now - r.at).total_seconds() / 3600 for n, r in readings.items()}


def _warm_days(oxygen: OxygenHere, warm_c: float | None) -> tuple[WarmDay, ...]:
    """The usual warm days, or the one of a given temperature where that is warmer than now."""
    rises: tuple[float, ...] = WARM_DAY_C if warm_c is None else (warm_c - oxygen.temp_c.nominal,)
    return tuple(WarmDay(rise, oxygen.warmed_by(rise)) for rise in rises if rise > 0.0)


def _say(found: Ahead) -> None:
    notes, oxygen, water = found.notes, found.oxygen, found.water
    if oxygen is not None:
        notes.assume("the surface takes up no oxygen: still water takes some, so this is careful")
        for takes in oxygen.takes:
            notes.warn(
                "oxygen",
                f"{takes.treatment}, up to {figure(takes.high, 3)} {takes.unit}, takes up to "
                f"{show(takes.oxygen_mg_l, 'mg/L')} of oxygen: strong air",
            )
            notes.because.append(f"{takes.treatment}: {takes.source}")
    if water is None:
        return
    if water.fed is None or water.made_n_mg_l is None:
        notes.assume("no feed written down this week: KH used and the next change not worked out")
        return
    notes.assumptions += water.fed.assumed
    say_feed(notes, water.fed, water.made_n_mg_l, water.volume_l.low)
    if found.next_text:
        notes.because.append(f"the next change is due {found.next_text}")
        notes.assume("KH and the next change are counted from when their readings were taken")


def forecast(desk: Desk, name: str, typed: Typed) -> dict[str, Any]:
    """The answer of `intake forecast`.

    Raises
    ------
    Usage, Unreadable
    """
    read = Reading(typed)
    if "altitude" in typed and "pressure" in typed:
        raise Usage("forecast takes --altitude or --pressure, not both")
    altitude, pressure = read.one("altitude", "altitude"), read.one("pressure", "pressure")
    warm = read.one("warm", "temperature", high=True)
    read.stop_if_faulty()
    atm = 1.0 if pressure is None else pressure / HPA_PER_ATM
    if altitude is not None:
        atm = pressure_atm(altitude)
    with at_work(desk) as book:
        vessel = book.facts.find(name, ("vessel",), book.now)
        if isinstance(vessel, Problem):
            raise Unreadable(vessel.placed("VESSEL"))
        assert isinstance(vessel, Vessel)
        found = ahead(book, vessel, warm, atm)
        if altitude is None and pressure is None:
            found.notes.assume("at sea level")
        return {
            "vessel": vessel.name,
            **_oxygen_keys(book, found),
            **_water_keys(book, found),
            **found.notes.as_keys(),
        }


def ends(name: str, span: Span | Hours | None) -> dict[str, float | None]:
    """A key with its `_low` and `_high`."""
    low, middle, high = (span.low, span.nominal, span.high) if isinstance(span, Span) else (
        span or (None, None, None)
    )  # fmt: skip
    return {name: middle, f"{name}_low": low, f"{name}_high": high}


def _hours_keys(found: Ahead, oxygen: OxygenHere) -> dict[str, float | None]:
    return {
        **ends("oxygen_hours", found.hours(oxygen)),
        **ends("oxygen_hours_to_danger", oxygen.store().hours(found.danger_mg_l)),
    }


def _oxygen_keys(book: Book, found: Ahead) -> Mapping[str, Any]:
    o = found.oxygen
    keys = {"oxygen_target_mg_l": found.target_mg_l, "oxygen_danger_mg_l": found.danger_mg_l}
    if o is None:
        return {**keys, **ends("oxygen_hours", None), "warm": [], "treatments": []}
    ages = _ages(book, found.vessel.readings)
    untreated = ends("oxygen_hours_untreated", found.hours(o, treated=False))
    return {
        **ends("volume_l", o.volume_l),
        **ends("temp_c", o.temp_c),
        "temp_age_h": ages.get("temp"),
        **ends("saturation_mg_l", o.saturation_mg_l),
        **ends("oxygen_mg_l", o.oxygen_mg_l),
        "oxygen_measured": o.measured,
        "oxygen_age_h": ages.get("oxygen"),
        "fish": sum(f.count for f in o.fish),
        **ends("fish_mass_g", o.mass_g),
        **ends("oxygen_use_mg_h", o.use_mg_h),
        **keys,
        **_hours_keys(found, o),
        "warm": [
            {
                "rise_c": day.rise_c,
                "temp_c": day.oxygen.temp_c.nominal,
                "saturation_mg_l": day.oxygen.saturation_mg_l.nominal,
                **_hours_keys(found, day.oxygen),
            }
            for day in found.warm
        ],
        "treatments": [
            {
                "treatment": t.treatment,
                "level_high": t.high,
                "unit": t.unit,
                "oxygen_taken_mg_l": t.oxygen_mg_l,
                "source": t.source,
            }
            for t in o.takes
        ],
        **(untreated if o.takes else {}),
    }


def _water_keys(book: Book, found: Ahead) -> dict[str, Any]:
    water, advice = found.water, found.advice
    made = water.made_n_mg_l if water is not None else None
    hours = found.next_h
    share, fed = found.next_share, water.fed if water is not None else None
    due = None if hours is None else book.now + timedelta(hours=hours)
    keys: dict[str, Any] = {
        "feed_g_d": fed.grams_a_day if fed is not None else None,
        "tan_per_day_mg_l": made,
        "kh_used_per_day_meq_l": None if made is None else kh_used_meq_l(made),
        "kh_days_left": found.kh_days_left,
        "kh_days_to_low": found.kh_days,
        "kh_days_to_crash": found.kh_days_to_crash,
        "next_change_h": hours,
        "next_change_at": due.astimezone(book.facts.zone).isoformat() if due else None,
        "next_change_percent": None if share is None else 100.0 * share,
        "next_change_l": water.volume_l.nominal * share if share and water else None,
        "ph_crash": advice.crash if advice is not None else None,
    }
    if advice is not None and advice.plan is not None:
        keys["do"] = list(plan_lines(advice.plan))
    return keys
