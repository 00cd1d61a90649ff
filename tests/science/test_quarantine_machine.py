"""Any history of a quarantine, found by search: its tasks and its release stay true to it.

What happens is drawn step by step, as it would be written down. After every step the calendar
and the release checks are derived again. Fifteen histories by default, 1,000 in `full`.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import fields, replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from hypothesis.stateful import run_state_machine_as_test as run_machine

from intake.science.calendar import Task, tasks
from intake.science.checks import checks
from intake.science.quarantine import (
    Arrival,
    Contact,
    Death,
    DoseGiven,
    Look,
    Marked,
    MixingTest,
    Occupant,
    Passed,
    QuarantineFacts,
    Recorded,
    Settled,
    SignSeen,
    Slide,
    Temperature,
    WaterJudged,
)
from intake.science.restarts import local_day, restarts
from tests.science.quarantines import PLAN, at

STEPS = 40
AHEAD = timedelta(45)
SEEN: Counter[str] = Counter()
"""What the histories came to: a search in which nothing ever restarts proves nothing."""
HOURS = st.sampled_from([1, 5, 13, 24, 50, 80, 200])
CHECKS = [c.check for c in PLAN.checks]


class History(RuleBasedStateMachine):
    """One water system, from two fish on."""

    @initialize()
    def begin(self) -> None:
        self.now, self.entries = at(0), 10
        self.dates: dict[str, date] = {}
        self.marks: dict[str, str] = {}
        self.facts = QuarantineFacts("North", 5, at(-8), PLAN, "Europe/Lisbon")
        self.add("arrivals", Arrival(self.now, self.entry(), "Ada"))
        self.here("Ada")

    def entry(self) -> int:
        """The next number; nobody writes two entries in one minute."""
        self.entries += 1
        self.now += timedelta(minutes=1)
        return self.entries

    def add(self, field: str, what: Any) -> None:
        self.facts = replace(self.facts, **{field: (*getattr(self.facts, field), what)})  # type: ignore[arg-type]

    def here(self, name: str) -> None:
        self.add("present", Occupant(name))

    def told(self) -> dict[str, Task]:
        found = tasks(self.facts, self.now, self.until())
        assert len({t.id for t in found}) == len(found)
        return {t.id: t for t in found}

    def until(self) -> date:
        return local_day(self.now + AHEAD, self.facts.time_zone)

    def unrelated(self, field: str, what: Any) -> None:
        """Adds what restarts nothing: no date of any task moves and none is lost."""
        before = self.told()
        self.add(field, what)
        after = self.told()
        assert {i: t.day for i, t in after.items() if i in before} == {
            i: t.day for i, t in before.items() if i in after
        }
        lost = [t for i, t in before.items() if i not in after]
        assert all(t.state == "overdue" for t in lost), lost

    def subjects(self) -> list[str]:
        return [o.subject for o in self.facts.present]

    @rule(hours=HOURS)
    def wait(self, hours: int) -> None:
        before, began = self.told(), len(self.standing())
        self.now += timedelta(hours=hours)
        after = self.told()
        if len(self.standing()) == began:
            assert all(after[i].day == t.day for i, t in before.items() if i in after)
            assert all(
                i in after
                for i, t in before.items()
                if t.state == "upcoming" and t.day > local_day(self.now, self.facts.time_zone)
            )

    def standing(self) -> list[int]:
        return [r.entry for r in restarts(self.facts, self.now) if r.state == "stands"]

    @rule()
    def fish(self) -> None:
        """More fish: the release is never nearer."""
        when, number = self.now, self.entry()
        before = checks(self.facts, self.now).earliest_release
        self.add("arrivals", Arrival(when, number, f"F{number}"))
        self.here(f"F{number}")
        after = checks(self.facts, self.now).earliest_release
        assert before is not None
        assert after is not None
        assert after >= before
        SEEN["moved on"] += after > before

    @rule()
    def contact(self) -> None:
        self.add("contacts", Contact(self.now, self.entry(), "net", "South"))

    @rule(found=st.sampled_from([0, 0, 3]), data=st.data())
    def slide(self, found: int, data: st.DataObject) -> None:
        who = data.draw(st.sampled_from(self.subjects()))
        slide = Slide(self.now, self.entry(), who, (("gill-flukes", found),))
        if found:
            self.add("slides", slide)
        else:
            self.unrelated("slides", slide)

    @rule(grade=st.sampled_from([0, 0, 0, 1, 3]), data=st.data())
    def look(self, grade: int, data: st.DataObject) -> None:
        whom = data.draw(st.sampled_from([self.subjects(), self.subjects()[:1]]))
        signs = (SignSeen("spots", grade, infectious=True),) if grade else ()
        look = Look(self.now, self.entry(), tuple(whom), signs, "all")
        if grade:
            self.add("looks", look)
        else:
            self.unrelated("looks", look)

    @rule(explained=st.booleans(), data=st.data())
    def death(self, explained: bool, data: st.DataObject) -> None:
        if len(self.subjects()) < 2:
            return
        who = data.draw(st.sampled_from(self.subjects()))
        count = len(self.subjects())
        self.add("deaths", Death(self.now, self.entry(), who, 1, count, explained=explained))
        self.facts = replace(
            self.facts, present=tuple(o for o in self.facts.present if o.subject != who)
        )

    @rule(low=st.sampled_from([9.0, 15.0, 19.0, 23.0]))
    def temperature(self, low: float) -> None:
        self.unrelated("temperatures", Temperature(self.now, self.entry(), low, low + 1))

    @rule(judged=st.sampled_from(["ok", "not", "undecided"]))
    def water(self, judged: str) -> None:
        self.unrelated("waters", WaterJudged(self.now, self.entry(), judged))

    @rule(kind=st.sampled_from(["feed", "weigh", "photo", "change", "clean"]))
    def recorded(self, kind: str) -> None:
        self.unrelated("recorded", Recorded(self.now, self.entry(), kind))

    @rule(counts=st.sampled_from(["treatment", "support"]))
    def dose(self, counts: str) -> None:
        self.unrelated("doses", DoseGiven(self.now, self.entry(), "salt", counts, self.now))

    @rule()
    def mixing(self) -> None:
        """Residents moved in restart nothing."""
        began, when, number = self.standing(), self.now, self.entry()
        self.add("arrivals", Arrival(when, number, f"R{number}", mixing_test=True))
        self.add("mixing_tests", MixingTest(when, number, f"R{number}"))
        assert self.standing() == began

    @rule(keep=st.booleans(), hours=st.sampled_from([1, 30, 71, 73]))
    def settle(self, keep: bool, hours: int) -> None:
        """A death nobody explains proposes a restart, settled in time or too late."""
        self.now += timedelta(days=4)
        self.add("deaths", Death(self.now, self.entry(), "Ada", 1, 9))
        self.now += timedelta(hours=hours)
        for r in restarts(self.facts, self.now):
            if r.state == "proposed":
                choice = "keep" if keep else "restart"
                SEEN[choice] += 1
                self.add("settled", Settled(self.now, self.entry(), r.entry, choice, "seen"))

    @rule(check=st.sampled_from(CHECKS))
    def by_reason(self, check: str) -> None:
        self.unrelated("passed", Passed(self.now, self.entry(), check, "the vet says so"))

    @rule(state=st.sampled_from(["done", "skipped"]), data=st.data())
    def mark(self, state: str, data: st.DataObject) -> None:
        """Completed late or on its day, a task stays; so does every other that was not late."""
        when, number = self.now, self.entry()
        before = self.told()
        late = ("overdue", "due")
        urgent = [t for t in before.values() if t.state in late or t.id in self.marks]
        if not urgent:
            return
        chosen = data.draw(st.sampled_from(urgent))
        self.add("marked", Marked(when, number, chosen.id, state, "so"))
        self.marks[chosen.id] = state
        after = self.told()
        SEEN[f"marked {chosen.state}"] += 1
        lost = [t for i, t in before.items() if i not in after]
        if chosen.state == "overdue":
            old = chosen.day < local_day(self.now, self.facts.time_zone) - timedelta(14)
            assert [t.id for t in lost] == ([chosen.id] if old else [])
        else:
            assert all(t.state == "overdue" and t.kind == chosen.kind for t in lost)
        assert all(after[i].day == t.day for i, t in before.items() if i in after)

    @invariant()
    def the_record_is_kept(self) -> None:
        """Marks stay with the task they were made for; no date of a task ever goes back."""
        if not hasattr(self, "facts"):
            return
        for id_, t in self.told().items():
            if id_ in self.marks:
                assert t.state == self.marks[id_], (id_, t.state)
                assert id_ not in self.dates or t.day == self.dates[id_]
            else:
                assert t.state not in ("done", "skipped") or t.entry is not None
            # Hours after the fish went in begin again with the next box of the same day.
            if "/arrival/" not in id_:
                assert id_ not in self.dates or t.day >= self.dates[id_]
            SEEN["moved"] += t.was is not None
            self.dates[id_] = t.day

    @invariant()
    def deriving_again_is_the_same(self) -> None:
        """Twice, and with everything that is known in another order."""
        if not hasattr(self, "facts"):
            return
        chance = random.Random(self.entries)
        turned: dict[str, Any] = {
            f.name: tuple(chance.sample(kept, len(kept)))
            for f in fields(self.facts)
            if isinstance(kept := getattr(self.facts, f.name), tuple)
            and f.name not in ("quiet", "present")
        }
        other = replace(self.facts, **turned)
        first, until = tasks(self.facts, self.now, self.until()), self.until()
        assert first == tasks(self.facts, self.now, until)
        # Tasks of one day without a time of day may stand in any order.
        assert sorted(first, key=by_id) == sorted(tasks(other, self.now, until), key=by_id)
        for one, again in zip(
            checks(self.facts, self.now).checks, checks(other, self.now).checks, strict=True
        ):
            assert one == again


def by_id(task: Task) -> str:
    return task.id


def search(histories: int) -> None:
    """Histories of forty steps; what they came to is held as well."""
    SEEN.clear()
    run_machine(
        History,
        settings=settings(max_examples=histories, stateful_step_count=STEPS, deadline=None),
    )
    wanted = ("moved on", "moved", "keep", "restart", "marked overdue", "marked due")
    assert min(SEEN[what] for what in wanted) > 0, SEEN


@pytest.mark.slow
def test_no_history_loses_a_task_or_brings_the_release_nearer() -> None:
    search(15)


@pytest.mark.full
def test_no_history_of_a_thousand_does() -> None:
    search(1000)
