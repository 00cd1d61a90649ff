"""What is said of a task that was missed: never twice, what it moves, what is gone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake.science.calendar import FISH_IN, Task, tasks
from intake.science.checks import checks
from intake.science.missed import late, moved_by
from intake.science.plan import KINDS
from intake.science.quarantine import Look, QuarantineFacts, Recorded, Slide, Temperature
from tests.science.quarantines import PLAN, at, facts, look, mark, step, well


def of(f: QuarantineFacts, now: int, name: str, clock: str = "23:00") -> Task:
    found = [t for t in tasks(f, at(now, clock)) if t.id.split("/")[-2] == name]
    return next((t for t in found if t.state == "overdue"), found[0])


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_task_says_what_to_do_now(kind: str) -> None:
    found = late(kind)
    assert found.what_to_do
    assert found != late("nothing of the kind"), "it has words of its own"


def test_nothing_is_ever_asked_for_twice_or_doubled() -> None:
    assert "never double" in late("treatment").what_to_do
    assert "never a double feed" in late("feed").what_to_do
    assert "never two shares" in late("change").what_to_do
    assert "once" in late("look").what_to_do


def test_only_what_was_missed_is_late() -> None:
    f = facts(**well(3))
    states = {t.state: t.late for t in tasks(f, at(3, "23:00"))}
    assert states["done"] is None
    assert states["upcoming"] is None
    assert all((t.late is None) == (t.state != "overdue") for t in tasks(f, at(3, "23:00")))


def test_a_missed_slide_says_from_when_the_second_can_be_met() -> None:
    """The plan's sessions lie 7 days apart: made on day 9, the second is clean on day 16."""
    task = of(facts(**well(9)), 9, "slide")
    assert task.state == "overdue"
    assert task.late is not None
    assert "slides, which rests on it, can be met from 2026-03-26" in task.late.moved
    assert "does not set the release" in task.late.moved  # the plan's 30 days do
    later = of(facts(**well(28)), 28, "slide")
    assert later.late is not None
    assert later.late.moved == (
        "slides, which rests on it and sets the release, can be met from 2026-04-14"
    )


def test_a_missed_temperature_moves_the_warm_days_and_the_release_with_them() -> None:
    plan = replace(PLAN, steps=(*PLAN.steps, step("warmth", "temperature", 0, None, every_days=1)))
    read = tuple(Temperature(at(n, "11:00"), 300 + n, 21, 22) for n in range(18, 27))
    f = facts(plan=plan, **{**well(29), "temperatures": read})
    task = of(f, 29, "warmth")
    assert task.state == "overdue"
    assert task.late is not None
    found = checks(f, at(29, "23:00"))
    warm = next(c for c in found.checks if c.check == "warm-days")
    assert warm.earliest is not None
    assert warm.earliest.isoformat() in task.late.moved
    assert "36 h" in task.late.cannot


def test_what_is_met_without_it_moves_nothing() -> None:
    f = facts(**well(30))
    found = checks(f, at(30, "12:00"))
    assert moved_by("water-test", found) == ""
    assert moved_by("photo", found) == ""
    assert moved_by("mixing-test", found) == "mixing-test stays open until it is done"


def test_doing_it_late_takes_the_words_away_and_never_the_task() -> None:
    f = facts(**well(9))
    before = {t.id for t in tasks(f, at(9, "23:00"))}
    done = replace(f, slides=(Slide(at(9, "22:00"), 70, "Ada"),))
    after = {t.id: t for t in tasks(done, at(9, "23:00"))}
    assert before <= set(after)
    assert after["North/5/slide/1"].late is None
    skipped = replace(f, marked=(mark("slide/1", 9, "skipped"),))
    assert of(skipped, 9, "slide").late is None


CLOSING = step("closing", "clean", 0, 2, counted_from="release")


def released(**more: object) -> QuarantineFacts:
    plan = replace(PLAN, steps=(*PLAN.steps, CLOSING))
    plain = facts(plan=plan, released_utc=at(31, "10:00"), **well(31))
    return replace(plain, **more)  # type: ignore[arg-type]


def test_closing_and_watching_appear_with_the_release_and_not_before() -> None:
    before = {t.id.split("/")[-2] for t in tasks(released(released_utc=None), at(31, "09:00"))}
    assert not before & {"closing", "after"}
    now = [t for t in tasks(released(), at(31, "12:00")) if t.state in ("due", "upcoming")]
    assert {t.id.split("/")[-2] for t in now} == {"closing", "after"}
    assert sum(t.id.split("/")[-2] == "after" for t in now) == 14


def test_they_are_answered_by_what_is_recorded_and_end() -> None:
    watched = tuple(look(31 + n, clock="09:00", entry=700 + n) for n in range(1, 15))
    cleaned = (Recorded(at(32, "15:00"), 800, "clean"),)
    f = released(looks=(*released().looks, *watched), recorded=cleaned, present=())
    found = {t.id: t for t in tasks(f, at(45, "12:00"))}
    assert found["North/5/closing/1"].state == "done"
    assert found["North/5/after/14"].state == "done"
    assert not any(t.state in ("due", "overdue") for t in tasks(f, at(60, "12:00")))
    assert tasks(f, at(60, "12:00")) == ()


def test_a_missed_watch_says_so_without_moving_a_release_that_is_over() -> None:
    task = next(
        t for t in tasks(released(), at(36, "23:00")) if t.id.split("/")[-2] == "after"
        and t.state == "overdue"
    )  # fmt: skip
    assert task.late is not None
    assert task.late.moved == ""
    assert "look now, once" in task.late.what_to_do


def test_a_water_with_fish_in_it_is_never_disinfected() -> None:
    with_fish = of(released(), 32, "closing", "12:00")
    assert with_fish.because.startswith(FISH_IN)
    empty = of(released(present=()), 32, "closing", "12:00")
    assert FISH_IN not in empty.because
    assert isinstance(with_fish, Task)


def test_a_look_at_one_of_two_does_not_answer_the_watch() -> None:
    one = Look(at(32, "09:00"), 700, ("Ada",), (), "all")
    f = released(looks=(*released().looks, one))
    assert of(f, 32, "after", "12:00").state == "due"
