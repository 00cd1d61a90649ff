"""Calendar: three views with one cursor, why on every day, and what its keys write."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from textual.pilot import Pilot

from intake.flows.views.parts import Found
from intake.screens.app import IntakeApp
from intake.screens.calendar import CalendarScreen
from intake.screens.calendar_lines import LEGEND
from intake.screens.calendar_views import MONTH, STRIP, WEEK
from intake.screens.calendar_week import week_of
from intake.screens.fish import FishScreen
from intake.screens.open_day import OpenDayScreen
from intake.screens.question import LinesScreen
from intake.screens.restart import SettleScreen
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from tests.screens.fits import (
    SIZES,
    SLOW_AT_EVERY_SIZE,
    opened,
    press,
    problems,
    text_of,
)
from tests.screens.sample import SampleRoom
from tests.screens.sample_calendar import CALENDAR, PROPOSAL, TODAY

SLIDE = date(2026, 11, 28)
WAS = date(2026, 11, 30)


class Finding(SampleRoom):
    """A room whose search knows a quarantine."""

    def find(self, text: str) -> tuple[Found, ...]:
        assert text
        return (Found("quarantine", "Blue pool", "5 fish"),)


def waiting() -> SampleRoom:
    """The sample room with a restart proposed."""
    room = SampleRoom()
    systems = tuple(
        replace(s, proposals=(PROPOSAL,)) if s.system == PROPOSAL.system else s
        for s in CALENDAR.systems
    )
    room.quarantines = replace(CALENDAR, systems=systems)
    room.view = replace(room.view, proposals=(PROPOSAL,))
    return room


def screen_of(app: IntakeApp) -> CalendarScreen:
    screen = app.screen
    assert isinstance(screen, CalendarScreen)
    return screen


NARROW_AND_USUAL = [
    s if s in ((80, 24), (40, 24)) else pytest.param(s, marks=pytest.mark.full) for s in SIZES
]
"""Every size, of which the two in which least room is left are always tried."""


async def at(pilot: Pilot[None], app: IntakeApp, day: date) -> None:
    """The cursor on a day, by its keys."""
    ahead = (day - screen_of(app).cursor).days
    await press(pilot, *["right" if ahead > 0 else "left"] * abs(ahead))


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
@pytest.mark.parametrize("turns", [0, 1, 2])
async def test_every_view_fits_wherever_the_cursor_is(
    turns: int, size: tuple[int, int], look: Look
) -> None:
    async with opened("calendar", size=size, look=look, room=waiting()) as (app, pilot, _room):
        await press(pilot, *["v"] * turns)
        for keys in (["right"] * 3, ["right", "right"], ["pagedown"], ["down"], ["pageup"] * 4):
            await press(pilot, *keys)
            assert problems(app) == []


async def test_the_views_follow_each_other_and_keep_the_cursor() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await at(pilot, app, SLIDE)
        await press(pilot, "down")
        for view in (WEEK, MONTH, STRIP):
            await press(pilot, "v")
            screen = screen_of(app)
            assert (screen.shown, screen.cursor, screen.system) == (view, SLIDE, 1)


@pytest.mark.parametrize("turns", [0, 1, 2])
async def test_all_keys_work_in_each_view(turns: int) -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, *["v"] * turns)
        screen = screen_of(app)
        await press(pilot, "right", "pagedown")
        assert (screen.cursor - TODAY).days == 8
        await press(pilot, "home")
        assert screen.cursor == TODAY
        await press(pilot, "n")
        assert screen.cursor >= TODAY
        await press(pilot, "w")
        assert isinstance(app.screen, LinesScreen)
        await press(pilot, "escape", "enter")
        assert isinstance(app.screen, OpenDayScreen)


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 40)])
@pytest.mark.parametrize("turns", [0, 1, 2])
async def test_the_legend_stays(turns: int, size: tuple[int, int]) -> None:
    async with opened("calendar", size=size) as (app, pilot, _room):
        await press(pilot, *["v"] * turns)
        for _, word in LEGEND:
            assert word in text_of(app)


@pytest.mark.parametrize("turns", [0, 1, 2])
async def test_a_day_without_tasks_says_why(turns: int) -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, *["v"] * turns)
        await at(pilot, app, date(2026, 11, 10))
        assert "before day 0" in app.screen.query_one(Because).text
        assert "nothing is due that day" in text_of(app)


async def test_a_cold_day_says_its_mean() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, "down")
        await at(pilot, app, date(2026, 11, 20))
        assert "not a warm day: mean 16.2 C" in " ".join(text_of(app).split())


@pytest.mark.parametrize("turns", [0, 1, 2])
async def test_a_moved_task_stands_on_both_days(turns: int) -> None:
    async with opened("calendar", size=(100, 30)) as (app, pilot, _room):
        await press(pilot, *["v"] * turns)
        await at(pilot, app, SLIDE)
        assert "was Mon 30 Nov" in text_of(app)
        await at(pilot, app, WAS)
        said = " ".join(text_of(app).split())
        assert "skin slide, all 3 fish moved to Sat 28 Nov, because at 19.4 C" in said


async def test_the_week_has_the_tasks_of_each_day() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await at(pilot, app, SLIDE)
        await press(pilot, "v")
        text = text_of(app)
        for day in week_of(SLIDE):
            assert f"{day:%a} {day.day}" in text
        assert "slides" in text
        row = next(line for line in text.splitlines() if "look" in line)
        assert row.count("look") == 7


async def test_a_wide_week_has_all_words_and_the_old_date() -> None:
    async with opened("calendar", size=(120, 40)) as (app, pilot, _room):
        await at(pilot, app, SLIDE)
        await press(pilot, "v")
        assert "was 30 Nov" in text_of(app)
        assert text_of(app).count("look at 3") >= 7
        await press(pilot, "right", "right")
        assert "to 28 Nov" in text_of(app)


async def test_the_month_has_a_mark_for_each_system_on_each_day() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, "v", "v")
        text = text_of(app)
        assert "November 2026" in text
        assert "1 North tub" in text
        assert "3 Blue pool" in text
        # Sat 28: a slide is due in the first two, a look in the third, which is a week behind.
        assert "28 ◆ ◆ ○" in text.replace("▌", " ")
        await press(pilot, *["pagedown"] * 3)
        assert "December 2026" in text_of(app)
        assert "14 ▐" in text_of(app)


async def test_roomy_adds_what_comes_next_with_its_reason() -> None:
    async with opened("calendar", size=(120, 40)) as (app, pilot, _room):
        for _ in range(3):
            text = text_of(app)
            assert "then" in text.splitlines()[-14:][0] or "  then" in text
            assert "the plan looks daily" in text
            await press(pilot, "v")


async def test_a_quarantine_that_was_found_is_under_the_cursor() -> None:
    async with opened("today", room=Finding()) as (app, pilot, _room):
        await press(pilot, "slash", *"blue", "enter")
        screen = screen_of(app)
        assert screen.strip is not None
        assert screen.strip.system == "Blue pool"
        assert problems(app) == []


# the day opened


async def test_a_task_is_done_and_another_skipped_with_a_reason() -> None:
    async with opened("calendar") as (app, pilot, room):
        await at(pilot, app, SLIDE)
        await press(pilot, "enter", "down", "space")
        await press(pilot, "up", "k", "a")
        assert [what for what, _ in room.wrote] == ["done", "skip"]
        assert room.wrote[0][1] == ("2026-11-14/14/slide",)
        assert room.wrote[1][1] == ("2026-11-14/14/look", "no time today")
        assert problems(app) == []


async def test_a_task_is_skipped_in_ones_own_words() -> None:
    async with opened("calendar") as (_app, pilot, room):
        await press(pilot, "enter", "k", "c", *"ill", "enter")
        assert room.wrote[0][1][1] == "ill"


async def test_a_check_is_not_done_by_hand() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "enter", "down", "space")
        assert room.wrote == []
        assert "p passes it by a reason" in app.screen.query_one(Because).text


async def test_a_check_shows_all_its_evidence() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "enter", "down", "enter")
        assert isinstance(app.screen, LinesScreen)
        assert "days-served: open" in text_of(app)
        assert "11 of 30" in text_of(app)
        await press(pilot, "escape", "up", "enter")
        assert "Why look at 3 fish" in text_of(app)
        assert room.wrote == []


async def test_a_release_with_open_checks_says_the_way_out() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "enter", "r", "a")
        assert isinstance(app.screen, LinesScreen)
        said = " ".join(text_of(app).split())
        assert "days-served, slides, warm-days still open" in said
        assert "wait for the evidence, or pass a check by a reason: p on its line" in said
        assert "--" not in said
        assert room.wrote == []


async def test_checks_are_passed_by_reason_and_the_water_is_released() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "enter")
        for name in ("days-served", "slides", "warm-days"):
            screen = app.screen
            assert isinstance(screen, OpenDayScreen)
            while screen.row.check[0] != name:
                await press(pilot, "down")
            await press(pilot, "p", *"vet", "enter")
        assert "by reason: vet" in text_of(app)
        await press(pilot, "r", "a")
        assert "released: Ash, Brick, Coal" in text_of(app)
        assert room.wrote == []
        await press(pilot, "r")
        [(kind, args)] = room.wrote
        assert kind == "release"
        assert args[0] == {
            "subject": ["North tub"],
            "pass": ["days-served:vet", "slides:vet", "warm-days:vet"],
        }


async def test_one_fish_is_released_by_itself() -> None:
    async with opened("calendar") as (_app, pilot, room):
        await press(pilot, "enter", "r", "c")
        assert room.foretold == [("release", {"subject": ["Brick"]})]


async def test_a_met_check_is_not_passed() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, "enter", "down", "down", "p")
        assert isinstance(app.screen, OpenDayScreen)
        assert "Only an open check" in app.screen.query_one(Because).text


@pytest.mark.parametrize("size", SIZES)
async def test_the_release_is_put_on_paper(size: tuple[int, int]) -> None:
    async with opened("calendar", size=size) as (app, pilot, room):
        await press(pilot, "enter")
        assert "o Paper" in text_of(app) or size[0] < 80
        assert problems(app) == []
        await press(pilot, "o", "b")
        assert isinstance(app.screen, OpenDayScreen)
        told = app.screen.query_one(Because).text
        assert told == "the release of North tub is in /home/ana/release-6.html"
        assert room.wrote == []


# restarts


@pytest.mark.parametrize("mode", ["today", "calendar"])
@pytest.mark.parametrize("size", SIZES)
async def test_a_proposed_restart_stands_on_the_screen(mode: str, size: tuple[int, int]) -> None:
    async with opened(mode, size=size, room=waiting()) as (app, _pilot, _room):
        assert "settle, 61 h left" in text_of(app)
        assert "j Settle" in text_of(app)
        assert problems(app) == []


@pytest.mark.parametrize("mode", ["today", "calendar"])
@pytest.mark.parametrize(("key", "choice"), [("k", "keep"), ("r", "restart")])
async def test_a_restart_is_settled_with_a_reason(mode: str, key: str, choice: str) -> None:
    async with opened(mode, room=waiting()) as (app, pilot, room):
        await press(pilot, "j")
        assert isinstance(app.screen, SettleScreen)
        assert PROPOSAL.restart in " ".join(text_of(app).split())
        await press(pilot, key, "enter")
        assert room.wrote == []  # a reason is needed
        await press(pilot, *"vet", "enter")
        assert room.wrote == [("clock", ({"system": "Racetrack", choice: "41"}, "vet"))]


async def test_nothing_to_settle_says_so() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, "j")
        assert "No restart is proposed" in app.screen.query_one(Because).text


# what begins and what touches


async def test_a_contact_shows_what_it_moves_before_it_is_kept() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "c", "a", "a", "b")
        said = " ".join(text_of(app).split())
        assert "Wet contact by a wet net, Window tank to North tub" in said
        assert "earliest release moves from Mon 14 Dec to Fri 25 Dec" in said
        assert room.wrote == []
        await press(pilot, "enter")  # a drip of enters records nothing
        assert room.wrote == []
        await press(pilot, "r")
        typed = {"from": "Window tank", "to": "North tub", "by": "net"}
        assert room.wrote == [("contact", (typed, ""))]


async def test_a_quarantine_begins_by_a_plan_with_its_days() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "b", "b")
        text = " ".join(text_of(app).split())
        assert "Standard quarantine, 30 days" in text
        assert "fish of unknown origin or cold water" in text
        await press(pilot, "b", "b", *"2026-11-28", "enter")
        assert room.foretold[-1][0] == "quarantine"
        await press(pilot, "r")
        typed = {
            "system": "Spare tub",
            "plan": "long",
            "preventive": "praziquantel",
            "expected": "2026-11-28",
        }
        assert room.wrote == [("quarantine", (typed, ""))]


async def test_a_quarantine_of_fish_that_are_there_expects_none() -> None:
    async with opened("calendar") as (_app, pilot, room):
        await press(pilot, "b", "a", "a", "r")
        assert room.wrote == [("quarantine", ({"system": "Window tank", "plan": "standard"}, ""))]


async def test_nobody_need_know_when_the_fish_come() -> None:
    async with opened("calendar") as (_app, pilot, room):
        await press(pilot, "b", "b", "a", "enter", "r")
        assert room.wrote == [("quarantine", ({"system": "Spare tub", "plan": "standard"}, ""))]


@pytest.mark.parametrize("mode", ["calendar", "fish"])
async def test_a_slide_with_something_on_it_shows_what_it_moves(mode: str) -> None:
    async with opened(mode) as (app, pilot, room):
        who = ["a"] if mode == "calendar" else []
        await press(pilot, "l", *who, "a", "b", *["backspace", "3"], "enter")
        assert "white spot on a slide of" in text_of(app)
        await press(pilot, "r")
        [(kind, args)] = room.wrote
        typed = args[0]
        assert isinstance(typed, dict)
        assert (kind, typed["from"], typed["found"]) == ("slide", "skin-scrape", ["white-spot:3"])


async def test_a_clean_slide_is_kept_at_once() -> None:
    async with opened("calendar") as (_app, pilot, room):
        await press(pilot, "l", "b", "b", "a", "enter")
        assert room.foretold == []
        assert room.wrote == [("slide", ({"subject": "Brick", "from": "gill-clip"}, ""))]


async def test_a_move_into_a_quarantine_asks_whether_it_is_a_mixing_test() -> None:
    room = SampleRoom()
    room.quarantined = ("Racetrack",)
    async with opened("fish", room=room) as (app, pilot, _room):
        assert isinstance(app.screen, FishScreen)
        await press(pilot, "m", "a")
        assert "as a mixing test: your own healthy fish in" in text_of(app)
        await press(pilot, "a")
        assert "No clock and no date changes" in text_of(app)
        await press(pilot, "r", "a")
        [(kind, args)] = room.wrote
        assert kind == "move"
        assert args[-1] == "mixing"


@pytest.mark.parametrize("size", NARROW_AND_USUAL)
@pytest.mark.parametrize(
    "keys",
    [
        ["enter"],
        ["enter", "r"],
        ["enter", "r", "a"],
        ["enter", "p"],
        ["b"],
        ["b", "b"],
        ["b", "b", "b"],
        ["b", "b", "b", "b"],
        ["c"],
        ["c", "a", "a"],
        ["c", "a", "a", "a"],
        ["l"],
        ["l", "a", "a"],
        ["l", "a", "a", "b"],
        ["l", "a", "a", "a"],
        ["j"],
        ["j", "k"],
        ["w"],
    ],
)
async def test_every_question_fits(keys: list[str], size: tuple[int, int]) -> None:
    async with opened("calendar", size=size, room=waiting()) as (app, pilot, _room):
        await press(pilot, *keys)
        assert problems(app) == []
