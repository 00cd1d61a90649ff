"""The changes to come of a room's water: which keep ammonia and its medicines in their limits."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

from intake.flows.change_here import Here, here
from intake.flows.change_words import say
from intake.flows.crash_words import plan_lines
from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.flows.kept_medicines import Kept, kept_medicines
from intake.flows.notes import Notes
from intake.flows.quiet import quiet_hours
from intake.flows.read_waters import readings_of
from intake.flows.residues import SALT
from intake.science.acclimation_gaps import EXCRETION_MG_N_KG_H
from intake.science.amount import in_course_unit
from intake.science.carbonate import SALT_RANGE_G_L
from intake.science.change_advice import ReadWater
from intake.science.change_planner import Ahead, ChangePlan, plan_changes
from intake.science.figures import figure, time_text
from intake.science.fish_size import mass_of
from intake.science.limits import allowed
from intake.science.nitrification import HOURS_A_DAY
from intake.science.problem import Refused
from intake.science.residue import residue
from intake.science.schedule import after_quiet
from intake.science.show import show

DAYS = 7
"""How far a plan looks where nothing is said [d]. Common practice."""
MOST_DAYS = 14
"""How far it looks at most [d]: feed and readings of today say nothing of later. Common
practice."""
CHANGES_A_DAY = 1
"""How often water may be changed in a day where nothing is said. Common practice."""
MOST_CHANGES_A_DAY = 4


@dataclass(frozen=True, slots=True)
class Planned:
    """What was asked and answered of the changes to come.

    Parameters
    ----------
    ahead, plan
        None where they could not be worked out, which `why` says.
    kept
        The medicines whose course runs.
    steps
        What to do first, where the pH may crash.
    days, changes_a_day
        As asked.
    """

    ahead: Ahead | None
    plan: ChangePlan | None
    kept: tuple[Kept, ...]
    why: str
    steps: tuple[str, ...]
    days: int
    changes_a_day: int


def planned(
    book: Book, system: System, notes: Notes, days: int = DAYS, changes_a_day: int = CHANGES_A_DAY
) -> Planned:
    """The changes of a system's water over the next days; notes tell what it rests on."""
    kept = kept_medicines(book, system, notes)
    nothing = Planned(None, None, kept, "", (), days, changes_a_day)
    known = here(book, system, None, book.now, notes)
    if known is None:
        return replace(nothing, why=notes.assumptions[-1])
    if known.volume_l.low <= 0.0:
        return replace(nothing, why="the volume of this water is not known")
    try:
        advice = known.advice()
        if advice.crash or advice.acid_untested:
            say(notes, advice, known.limits, None)
            steps = plan_lines(advice.plan) if advice.plan is not None else ()
            why = "a pH crash comes first: intake rescue ph-crash"
            if not advice.crash:
                why = "acid water: test total ammonia first"
            return replace(nothing, why=why, steps=tuple(steps))
        ahead = _ahead(book, system, known, kept, notes, days, changes_a_day)
        plan = plan_changes(ahead)
    except Refused as refused:
        return replace(nothing, why=refused.text)
    _say(notes, known, ahead, plan)
    for k in kept:
        _say_thin(book, notes, k)
    return replace(nothing, ahead=ahead, plan=plan)


def _ahead(
    book: Book,
    system: System,
    known: Here,
    kept: tuple[Kept, ...],
    notes: Notes,
    days: int,
    changes_a_day: int,
) -> Ahead:
    made_n_mg_d = _made(book, system, known, notes)
    water, tap = _salted(known, kept)
    water = _since_read(book, system, water, made_n_mg_d / known.volume_l.low, notes)
    return Ahead(
        book.now,
        water,
        tap,
        known.volume_l,
        made_n_mg_d,
        known.limits,
        _slots_h(book, days, changes_a_day),
        days * HOURS_A_DAY,
        tuple(k.medicine for k in kept),
    )


def _made(book: Book, system: System, known: Here, notes: Notes) -> float:
    """Ammonia made in a day [mg of N]: by feed, or where none was written down by the fish."""
    if known.made_n_mg_l is not None and known.fed is not None:
        notes.assumptions += known.fed.assumed
        notes.because.append(
            f"{show(known.fed.grams_a_day, 'g')} of feed a day makes up to "
            f"{show(known.made_n_mg_l, 'mg/L')} of total ammonia as N a day"
        )
        return known.made_n_mg_l * known.volume_l.low
    animals = book.facts.occupants(system.vessels)
    mass_g = sum(a.count * mass_of(a.stage, a.mass_g, a.length_cm).high for a in animals)
    rate = EXCRETION_MG_N_KG_H.high
    if not animals:
        notes.assume("no fish and no feed written down here: no ammonia is made")
        return 0.0
    notes.assume(
        f"no feed written down this week: {show(mass_g, 'g')} of fish give off up to "
        f"{figure(rate)} mg of N per kg an hour unfed, from memory"
    )
    return mass_g / 1000.0 * rate * HOURS_A_DAY


def _salted(known: Here, kept: tuple[Kept, ...]) -> tuple[ReadWater, ReadWater]:
    """The water and the new one with the salt that is kept in them."""
    salt = next((k for k in kept if k.medicine.name == SALT), None)
    if salt is None:
        return known.water, known.tap
    times = float(in_course_unit(Decimal(1), salt.unit, "g/L") or 1)
    salt_g_l = min(salt.medicine.new.now * times, SALT_RANGE_G_L[1])
    water = known.water
    if not water.salt_g_l:
        water = replace(water, salt_g_l=salt_g_l)
    return water, replace(known.tap, salt_g_l=salt_g_l)


def _since_read(
    book: Book, system: System, water: ReadWater, made_n_mg_l_d: float, notes: Notes
) -> ReadWater:
    """The water with the ammonia made since it was read, where no filter took any."""
    read = readings_of(book, system, None).get("tan")
    if read is None or read.at > book.now:
        return water
    hours = (book.now - read.at).total_seconds() / 3600
    more = made_n_mg_l_d * hours / HOURS_A_DAY
    if more > 0.0:
        notes.assume(
            f"total ammonia counted up from its reading {time_text(hours)} ago, with no filter: "
            "a new test makes the plan better"
        )
    return replace(water, tan_n_mg_l=water.tan.map(lambda n: n + more))


def _slots_h(book: Book, days: int, changes_a_day: int) -> tuple[float, ...]:
    """When water may be changed: now, then as often as asked, out of the quiet hours."""
    quiet = quiet_hours(book.facts.settings.get("quiet", ""))
    every = HOURS_A_DAY / changes_a_day
    times = (book.now + timedelta(hours=n * every) for n in range(1, days * changes_a_day))
    moved = (after_quiet(at, book.facts.zone, quiet) for at in times)
    hours = {0.0, *((at - book.now).total_seconds() / 3600 for at in moved)}
    return tuple(sorted(h for h in hours if h < days * HOURS_A_DAY))


def _say(notes: Notes, known: Here, ahead: Ahead, plan: ChangePlan) -> None:
    notes.assume("no filter takes any ammonia; new water is free of chlorine when it goes in")
    if ahead.medicines:
        notes.assume("no dose is counted that was not given yet")
    if plan.changes:
        notes.because.append(
            "a change that was made is written down with intake record change, --salt being the "
            "salt that its new water was given"
        )
        share = plan.changes[0].percent / 100.0
        first = replace(known, water=ahead.water, tap=ahead.tap)
        said = Notes()
        say(said, first.advice(share), known.limits, share)
        notes.warnings += [w for w in said.warnings if w not in notes.warnings]


def _say_thin(book: Book, notes: Notes, kept: Kept) -> None:
    """Says where a medicine is under its course's low end already."""
    medicine = kept.medicine
    level = residue(medicine.ledger, book.now)
    if not allowed(level.now, medicine.low, None):
        notes.warn(
            "under-usual",
            f"{medicine.name} is at {figure(level.now, 3)} {kept.unit} now, under the low end of "
            f"its course, {figure(medicine.low)}: its next dose comes first",
        )
