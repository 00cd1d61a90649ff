"""What a water change does, in words and in the keys of an answer."""

from __future__ import annotations

from typing import Any

from intake.flows.crash_words import instead_keys, plan_lines
from intake.flows.feeding import Feeding
from intake.flows.notes import Notes
from intake.science.change_advice import ChangeAdvice, Moment
from intake.science.change_limits import ChangeLimits
from intake.science.figures import beyond, figure, time_text
from intake.science.limits import allowed
from intake.science.show import show
from intake.science.water_change import AfterChange, Needed


def nh3(value: float, limit: float | None = None) -> str:
    """An NH3 figure with its unit, with digits enough to differ from a limit."""
    return f"{beyond(value, limit, 2) if limit else figure(value, 2)} mg/L as N"


def percent(share: float) -> str:
    """A share as a keeper says it."""
    return f"{figure(share * 100, 2)} %"


def say_feed(notes: Notes, feed: Feeding, made_n_mg_l: float, volume_l: float) -> None:
    """Says how much ammonia a day's feed makes, and what is counted against it."""
    notes.because.append(
        f"{show(feed.grams_a_day, 'g')} of feed a day with {figure(feed.protein_share * 100)} % "
        f"protein makes up to {show(made_n_mg_l, 'mg/L')} of total ammonia as N a day in "
        f"{show(volume_l, 'L')}; fish measured made a third to all of it"
    )
    notes.assume(
        "ammonia: no filter takes any; KH: a filter turns all of it into nitrate, "
        "two equivalents for each mole; no change on the way"
    )


def part(moment: Moment) -> str:
    """How much of the ammonia is NH3, as one part in so many."""
    return f"one part in {figure(moment.parts, 2)}"


def say(
    notes: Notes,
    advice: ChangeAdvice,
    limits: ChangeLimits,
    share: float | None,
    feed_g: float | None = None,
) -> None:
    """Puts the warnings and reasons of an advice into the notes of an answer."""
    if advice.crash:
        notes.warn("ph-crash", crash_text(advice, limits, share))
    elif advice.acid_untested:
        notes.warn(
            "ph-crash",
            "acid water may hold ammonium that a change turns into ammonia: test total ammonia "
            "before changing much",
        )
    elif advice.likely is not None and advice.mixed is not None:
        _say_after(notes, advice.likely, advice.mixed, advice.after, limits)
    if advice.after is not None:
        _say_steps(notes, advice, advice.after, limits)
    if advice.needed is not None:
        notes.because.append(needed_text(advice.needed, limits, feed_g))
        if advice.needed_open_air is not None:
            notes.because.append(_open_air_text(advice.needed_open_air))
    if advice.crash:
        now, air = advice.now, advice.now_open_air
        notes.because.append(
            f"of its ammonia {part(now)} is NH3 at pH {figure(now.ph.nominal, 3)}, "
            f"and {part(air)} at pH {figure(air.ph.nominal, 3)}"
        )


def crash_text(advice: ChangeAdvice, limits: ChangeLimits, share: float | None) -> str:
    """Why this water is not to be changed for the tap's, with the NH3 it would make."""
    limit = limits.nh3_n_mg_l
    alone = advice.now_open_air
    air = (
        f"open air alone takes it to pH {figure(alone.ph.high, 3)} and NH3 "
        f"{nh3(alone.nh3_n_mg_l.high, limit)}"
    )
    if advice.worst_n_mg_l is None or share is None or advice.likely is None:
        return (
            f"its ammonium turns into ammonia when the pH rises: {air}, limit {nh3(limit)}; "
            "no large tap change and no spoon of bicarbonate"
        )
    if allowed(advice.worst_n_mg_l, None, alone.nh3_n_mg_l.high):
        return (
            f"in open air this change takes NH3 from {nh3(alone.nh3_n_mg_l.high)} to "
            f"{nh3(advice.worst_n_mg_l, limit)}, limit {nh3(limit)}: ammonia out before the pH "
            "is raised"
        )
    return (
        f"a change of {percent(share)} for this water makes up to "
        f"{nh3(advice.worst_n_mg_l, limit)} of NH3 as its CO2 leaves "
        f"({nh3(advice.likely.nh3_n_mg_l.high)} at the vessel's own CO2), limit {nh3(limit)}; "
        f"{air}: ammonia out with soft water first"
    )


def _say_after(
    notes: Notes, likely: Moment, mixed: Moment, after: AfterChange | None, limits: ChangeLimits
) -> None:
    most = max(likely.nh3_n_mg_l.high, mixed.nh3_n_mg_l.high)
    if not allowed(most, None, limits.nh3_n_mg_l):
        limit = limits.nh3_n_mg_l
        notes.warn(
            "nh3-after", f"after this change NH3 is up to {nh3(most, limit)}, limit {nh3(limit)}"
        )
    elif after is not None:
        notes.because.append(
            f"after the change pH {figure(likely.ph.nominal, 3)} at the vessel's own CO2, at most "
            f"{figure(after.open_air.ph, 3)} in open air; NH3 "
            f"{nh3(likely.nh3_n_mg_l.nominal)}, at most {nh3(max(most, after.worst.nh3_n_mg_l))}"
        )


def _say_steps(
    notes: Notes, advice: ChangeAdvice, after: AfterChange, limits: ChangeLimits
) -> None:
    before, mixed = advice.before, after.mixed
    steps = (
        ("temperature-step", mixed.temp_c - before.temp_c, limits.temp_step_c, "C", "temperature"),
        ("salt-step", mixed.salt_g_l - before.salt_g_l, limits.salt_step_g_l, "g/L", "salt"),
        ("ph-step", after.likely.ph - before.ph, limits.ph_step, "", "pH"),
    )
    for code, step, limit, unit, what in steps:
        if not allowed(abs(step), None, limit):
            way = "up" if step > 0 else "down"
            told = f"{beyond(abs(step), limit)} {unit}".strip()
            most = f"{figure(limit)} {unit}".strip()
            notes.warn(code, f"{what} goes {way} by {told} at once; {most} is the most")


def needed_text(found: Needed, limits: ChangeLimits, feed_g: float | None = None) -> str:
    """How much to change a day, or why no change will do and what else would."""
    limit = nh3(limits.nh3_n_mg_l)
    tan = f"{show(found.tan_limit_n_mg_l, 'mg/L')} of total ammonia as N"
    if found.other_water:
        return f"the new water alone is over the limit ({tan} is the most): use other water"
    if found.share_per_day is None:
        feed = percent(found.feed_share)
        if feed_g:
            feed += f", {show(feed_g * found.feed_share, 'g')} a day"
        return (
            f"not even one whole volume a day keeps NH3 at or under {limit} ({tan}): cut the "
            f"feed to {feed}, or have a filter take {show(found.filter_n_mg_l, 'mg/L')} a day"
        )
    if not found.changes_a_day:
        return f"no ammonia is made: no change is needed for it ({tan} is the most)"
    each = percent(found.share_each)
    how = (
        f"{each} a day"
        if found.changes_a_day == 1
        else f"{found.changes_a_day} changes a day of {each}, as no more than "
        f"{percent(limits.largest_share)} is changed at once,"
    )
    return f"{how} keeps NH3 at or under {limit}, that is {tan}, with no filter"


def _open_air_text(found: Needed) -> str:
    if found.share_per_day is None:
        return "were its CO2 that of open air, no change would keep it under"
    return f"were its CO2 that of open air, {percent(found.share_per_day)} a day would do"


def next_due(advice: ChangeAdvice) -> tuple[str, str] | None:
    """When the next change is due and for what, NH3 or KH; None where feed is not known."""
    hours = advice.next_change_h
    if hours is None:
        return None
    what = "NH3" if hours == advice.hours_to_limit else "KH"
    return ("now" if hours <= 0 else f"in {time_text(hours)}"), what


def next_text(advice: ChangeAdvice) -> str | None:
    """The same as the end of a sentence."""
    due = next_due(advice)
    if due is None:
        return None
    why = "NH3 is at its limit" if due[1] == "NH3" else "KH is low"
    return f"now: {why}" if due[0] == "now" else f"{due[0]}, when {why}"


def advice_keys(advice: ChangeAdvice, limits: ChangeLimits, share: float | None) -> dict[str, Any]:
    """The keys an answer carries of an advice."""
    found, open_air = advice.needed, advice.needed_open_air
    keys: dict[str, Any] = {
        "limit_n_mg_l": limits.nh3_n_mg_l,
        "change_percent_per_day": _percent(found),
        "change_percent_per_day_open_air": _percent(open_air),
        "changes_per_day": found.changes_a_day if found and found.changes_a_day else None,
        "change_percent_each": 100.0 * found.share_each if found and found.share_each else None,
        "change_percent_now": None if advice.share_now is None else 100.0 * advice.share_now,
        "hours_to_limit": advice.hours_to_limit,
        "hours_to_limit_open_air": advice.hours_open_air,
        "kh_days_left": advice.kh_days_left,
        "kh_days_to_low": advice.kh_days_to_low,
        "kh_days_to_crash": advice.kh_days_to_crash,
        "next_change_h": advice.next_change_h,
        "now": _now_keys(advice),
        "after": None if share is None else after_keys(advice),
    }
    if advice.plan is not None:
        keys["instead"] = instead_keys(advice.plan)
        keys["do"] = list(plan_lines(advice.plan))
    return keys


def _percent(found: Needed | None) -> float | None:
    return None if found is None or found.share_per_day is None else 100.0 * found.share_per_day


def _now_keys(advice: ChangeAdvice) -> dict[str, Any]:
    return {
        **_moment_keys(advice.now),
        "ph_open_air": advice.now_open_air.ph.nominal,
        "nh3_n_mg_l_open_air": advice.now_open_air.nh3_n_mg_l.high,
    }


def _moment_keys(moment: Moment) -> dict[str, Any]:
    ph, n = moment.ph, moment.nh3_n_mg_l
    return {
        "ph": ph.nominal,
        "ph_low": ph.low,
        "ph_high": ph.high,
        "nh3_n_mg_l": n.nominal,
        "nh3_n_mg_l_low": n.low,
        "nh3_n_mg_l_high": n.high,
    }


def after_keys(advice: ChangeAdvice) -> dict[str, Any] | None:
    """pH, NH3 and the rest after the change asked about: likely, just stirred in, and worst."""
    after, likely, mixed = advice.after, advice.likely, advice.mixed
    if after is None or likely is None or mixed is None:
        return None
    return {
        **_moment_keys(likely),
        "ph_mixed": mixed.ph.nominal,
        "nh3_n_mg_l_mixed": mixed.nh3_n_mg_l.nominal,
        "ph_open_air": after.open_air.ph,
        "nh3_n_mg_l_worst": advice.worst_n_mg_l,
        "tan_n_mg_l": after.mixed.tan_n_mg_l,
        "kh_meq_l": after.mixed.alk_meq_l,
        "temp_c": after.mixed.temp_c,
        "salt_g_l": after.mixed.salt_g_l,
    }
