"""The ten-fold guard: clean plans of every shipped course, each with slips of the hand in it.

A slip counts where it changes what goes into the water. It is *stopped* by a refusal or an
unreadable word, *warned of* where a warning is said that the clean plan does not carry.
Warnings every dose of a treatment carries (`always-warn`, figures from memory, one fish first for
a group that never met it) are cautions: of a clean plan only the others count. 150 plans with two
slips each by default, 1,000 with every slip in `full`.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import pytest

from intake.flows.desk import Desk, load_protocols
from intake.science.treatment import Treatment
from intake.store import files
from tests.flows.guard_plans import (
    ALWAYS_STOPPED,
    BY_VET,
    SLIPS,
    STRENGTHS,
    Plan,
    Seen,
    furnished,
    made,
    work,
    write,
)

PAGE = Path(__file__).resolve().parents[2] / "docs" / "measured.md"
SEED = 20261125
CAUTIONS = ("from-memory", "test-fish-first")
"""What every dose with a figure from memory, and every first one of a group of fish, carries."""
HARMLESS = 0.1
"""A slip that changes the amount by less is none (w/w for w/v of formalin, 98 % for 100 %): what
purities may differ by, `PURITY_MISMATCH_PERCENT`."""


@dataclass
class Tally:
    """How the slips of one kind ended."""

    stopped: int = 0
    warned: int = 0
    unseen: list[str] = field(default_factory=list)
    only_warned: set[str] = field(default_factory=set)
    nothing: int = 0

    @property
    def tried(self) -> int:
        return self.stopped + self.warned + len(self.unseen)


@dataclass
class Measured:
    """All of one run."""

    plans: int = 0
    warned: list[str] = field(default_factory=list)
    kinds: dict[str, Tally] = field(default_factory=lambda: {kind: Tally() for kind in SLIPS})
    left_out: Counter[str] = field(default_factory=Counter)
    courses: set[str] = field(default_factory=set)

    @property
    def tried(self) -> int:
        return sum(t.tried for t in self.kinds.values())

    @property
    def unseen(self) -> int:
        return sum(len(t.unseen) for t in self.kinds.values())


@contextmanager
def quick() -> Iterator[None]:
    """Nobody waits for the disk here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(files._PRAGMAS, "synchronous", 0)
        yield


def standing(treatment: Treatment) -> set[tuple[str, str]]:
    return set(treatment.always_warn)


def own_codes(plan: Plan, seen: Seen) -> list[str]:
    """The codes that are about this plan, not about the treatment."""
    always = standing(plan.treatment)
    return [c for c, text in seen.texts if (c, text) not in always and c not in CAUTIONS]


def bare(warning: tuple[str, str]) -> tuple[str, str]:
    """A warning without its numbers: the same one of another plan is the same."""
    code, text = warning
    return code, re.sub(r"[\d.,]+", "#", text)


def judged(plan: Plan, kind: str, how: str, seen: Seen, tally: Tally) -> None:
    clean = plan.worked if how == "asked" else plan.recorded
    if seen.refused:
        tally.stopped += 1
        return
    if how == "asked" and "volume" not in kind:
        before, after = clean.answer["amount"], seen.answer["amount"]
        if abs(after - before) <= HARMLESS * before:
            tally.nothing += 1
            return
    if {*map(bare, seen.texts)} - {*map(bare, clean.texts)}:
        tally.warned += 1
        tally.only_warned.add(plan.treatment.id)
        return
    tally.unseen.append(
        f"{plan.treatment.id} {plan.course.name} {plan.vessel} {plan.asked['target']}: {kind}"
    )


def measure(plans: int, kinds: Sequence[str], each: int, *, shelved: bool = True) -> Measured:
    """So many clean plans, in turn over the courses, `each` with so many of the kinds of slip."""
    found, hand = Measured(), Random(SEED)
    with TemporaryDirectory() as folder, quick():
        desk = furnished(Path(folder), shelved=shelved)
        courses = [
            (t, c)
            for t in load_protocols().treatments.values()
            for c in t.courses
            if c.rate is None
        ]
        n = 0
        while found.plans < plans:
            treatment, course = courses[n % len(courses)]
            n += 1
            plan = made(desk, treatment, course, hand)
            if isinstance(plan, Seen):
                found.left_out[f"{treatment.id} {course.name}: {plan.refused}"] += 1
                continue
            found.plans += 1
            found.courses.add(f"{treatment.id} {course.name}")
            one(found, plan, desk, hand, hand.sample(kinds, each))
    return found


def one(found: Measured, plan: Plan, desk: Desk, hand: Random, kinds: Sequence[str]) -> None:
    assert not plan.recorded.refused, (plan.written, plan.recorded.refused)
    mine = {*own_codes(plan, plan.worked), *own_codes(plan, plan.recorded)}
    if mine:
        found.warned.append(f"{plan.treatment.id} {plan.course.name} {plan.asked}: {mine}")
    for kind in kinds:
        made_so = hand.choice(SLIPS[kind])(plan)
        if made_so is None:
            continue
        how, typed = made_so
        seen = work(desk, typed) if how == "asked" else write(desk, typed)
        judged(plan, kind, how, seen, found.kinds[kind])


def table(found: Measured) -> str:
    """The table of docs/measured.md."""
    lines = ["| Slip | Tried | Stopped | Warned of | Unseen |", "|---|---|---|---|---|"]
    for kind, t in found.kinds.items():
        lines.append(f"| {kind} | {t.tried} | {t.stopped} | {t.warned} | {len(t.unseen)} |")
    stopped = sum(t.stopped for t in found.kinds.values())
    warned = sum(t.warned for t in found.kinds.values())
    lines.append(f"| all | {found.tried} | {stopped} | {warned} | {found.unseen} |")
    return "\n".join(lines)


def holds(found: Measured) -> None:
    """What the guard has to do, whatever the number of plans."""
    assert set(found.left_out) == {at for at in found.left_out if at.rpartition(": ")[2] in BY_VET}
    shelf = load_protocols().treatments.values()
    every = {f"{t.id} {c.name}" for t in shelf for c in t.courses if c.rate is None}
    assert found.courses | {at.partition(": ")[0] for at in found.left_out} >= every
    for kind in ALWAYS_STOPPED:
        tally = found.kinds[kind]
        assert tally.stopped > 0
        assert not tally.unseen, (kind, tally)
        assert not tally.only_warned, (kind, tally)
    unseen = [text for t in found.kinds.values() for text in t.unseen]
    assert len(unseen) <= 0.01 * found.tried, unseen
    assert len(found.warned) <= 0.05 * found.plans, found.warned


@pytest.mark.slow
def test_a_slip_of_the_hand_is_stopped_or_warned_of() -> None:
    found = measure(150, list(SLIPS), 2)
    holds(found)
    assert all(t.tried > 5 for t in found.kinds.values())


def said_of(found: Measured, alone: Measured) -> str:
    """The sentences of the page under its table."""
    seen = found.tried - found.unseen
    share, missed = 100 * seen / found.tried, sum(len(alone.kinds[k].unseen) for k in STRENGTHS)
    tried = sum(alone.kinds[k].tried for k in STRENGTHS)
    return (
        f"{seen} of {found.tried} slips are stopped or warned of, {share:.2f} %; "
        f"{len(found.warned)} of {found.plans} clean plans carry a warning that is about the "
        f"plan. With nothing on the shelf {tried - missed} of {tried} slips of strength are."
    )


@pytest.mark.full
def test_the_figures_of_the_page_are_those_of_a_thousand_plans() -> None:
    """After a change of a protocol the table and the sentence printed here go into the page."""
    found = measure(1000, list(SLIPS), len(SLIPS))
    holds(found)
    alone = measure(400, STRENGTHS, len(STRENGTHS), shelved=False)
    page = PAGE.read_text(encoding="utf-8")
    made_now = f"{table(found)}\n\n{said_of(found, alone)}"
    print(made_now)
    assert table(found) in page
    assert said_of(found, alone) in " ".join(page.split())


def test_the_page_has_every_kind_of_slip_and_keeps_what_it_promises() -> None:
    _, _, after = PAGE.read_text(encoding="utf-8").partition("## Slips of the hand in a dose\n")
    page = after.partition("\n## ")[0]
    rows = re.findall(r"^\| (.+?) \| (\d+) \| (\d+) \| (\d+) \| (\d+) \|$", page, re.MULTILINE)
    assert [row[0] for row in rows] == [*SLIPS, "all"]
    for kind, *numbers in rows:
        tried, stopped, warned, unseen = map(int, numbers)
        assert tried == stopped + warned + unseen
        assert kind not in ALWAYS_STOPPED or unseen == 0
        assert kind != "all" or unseen <= 0.01 * tried
