"""A room of sample values: the screens are built and tested against it, with no store behind."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime

from intake.flows.views.calendar import CalendarView, QuarantineChoices
from intake.flows.views.change import ChangeView
from intake.flows.views.dose import (
    ConditionShown,
    DoseAsk,
    DoseChoices,
    DoseDue,
    DoseView,
    TreatmentChoice,
    VesselChoice,
)
from intake.flows.views.entries import EntryField, EntryLine, EntryView
from intake.flows.views.fish import FishDetail, FishPage, FishView
from intake.flows.views.forecast import ForecastView, HoursBar
from intake.flows.views.gauging import GaugingState, SaltAsked
from intake.flows.views.logged import LogLook
from intake.flows.views.parts import (
    Bar,
    Care,
    Found,
    Need,
    Recorded,
    RoomFacts,
    Shown,
    Stop,
    Timer,
    Wrong,
)
from intake.flows.views.protocols import ProtocolsView, ProtocolText
from intake.flows.views.receive import ReceiveList, ReceiveView
from intake.flows.views.residue import ResidueView
from intake.flows.views.shelf import BottleChoice, DirectionRead
from intake.flows.views.start import FirstStart, KeptKind
from intake.flows.views.today import Alert, RoundStop, RoundTask, SeenChoice, TodayView
from intake.flows.views.vessels import SizeQuestion, VesselsView, VesselView
from intake.report.dose_record import NAMES
from intake.science.problem import Problem, Unreadable
from tests.screens.sample_calendar import CALENDAR, CHOICES, follows
from tests.screens.sample_change import FORETOLD, WATER_NOW
from tests.screens.sample_fish import fish_detail, fish_page, fish_row, fish_view
from tests.screens.sample_protocols import PROTOCOLS
from tests.screens.sample_protocols import opened as opened_protocol
from tests.screens.sample_receive import BAGS, CHOOSE
from tests.screens.sample_residue import residue_view
from tests.screens.sample_vessels import (
    SIZES_OF_A_BOX,
    VESSELS,
    bowl_view,
    log_look,
    vessel_view,
)

NOW = datetime(2026, 11, 25, 18, 42, tzinfo=UTC)


def now() -> datetime:
    return NOW


SHEET = (
    ("water", "372 ± 11 L at today's line"),
    ("temperature", "19.4 C, read 07:10"),
    ("pH", "7.8, read 07:10"),
    ("NH3", "0.004 mg/L, under 0.02"),
    ("salt", "1.2 to 1.3 g/L, target 1.2"),
    ("clock", "day 12 of at least 30"),
)


def task(id: str, kind: str, text: str, figure: str = "", at: str = "") -> RoundTask:
    return RoundTask(id, kind, text, figure, at, because="the plan looks daily until day 28.")


def today_view() -> TodayView:
    tub = "the plan looks daily until day 28; salt is re-dosed for the 60 L changed this morning, "
    return TodayView(
        date_text="Wed 25 Nov 2026",
        minutes_left=14,
        stops=(
            RoundStop(
                "Long tank",
                "Long tank",
                "resident",
                "11 fish",
                (),
                "all well 18:31",
                last_entry=801,
                because="looked at 18:31 by K, no sign seen.",
            ),
            RoundStop(
                "Window tank",
                "Window tank",
                "resident",
                "6 fish",
                (),
                "all well 18:34",
                last_entry=802,
            ),
            RoundStop(
                "Fry tray",
                "Fry tray",
                "fry",
                "40 fish",
                (),
                "1 found dead 18:38",
                done_care=True,
                last_entry=804,
                because="fry lose some every day; 1 of 40 is under the 2 % of today.",
            ),
            RoundStop(
                "North tub",
                "North tub",
                "quarantine day 12",
                "3 fish",
                (
                    task("n/1", "look", "look at 3 fish"),
                    task("n/2", "reading", "water test"),
                    task("n/3", "dose", "salt re-dose", "60 g"),
                ),
                crossing="wash hands, change net and towel",
                because=tub + "not the whole tub.",
                sheet=SHEET,
            ),
            RoundStop(
                "Racetrack",
                "Racetrack",
                "quarantine day 12",
                "9 fish",
                (task("r/1", "look", "look"), task("r/2", "reading", "water test")),
                because="the plan looks daily until day 28.",
                sheet=SHEET,
            ),
            RoundStop(
                "Blue pool",
                "Blue pool",
                "quarantine day 3",
                "5 fish",
                (
                    task("b/1", "look", "look"),
                    task("b/2", "reading", "water test"),
                    task("b/3", "change", "change", "40 L"),
                ),
                because="NH3 reaches its limit in 31 h at this feed; 40 L now keeps it under.",
                sheet=SHEET,
            ),
            RoundStop(
                "Hospital box",
                "Hospital box",
                "hospital day 2",
                "1 fish",
                (task("h/1", "look", "look"), task("h/2", "dose", "dose due", "", "19:00")),
                because="the second of five doses, every 24 h.",
                sheet=SHEET,
            ),
        ),
        skip_reasons=("not at home", "test kit empty", "fish were resting", "vet said so"),
    )


SEEN = SeenChoice(
    "North tub",
    (("Ash", "red and white", 1), ("Brick", "red cap", 1), ("Coal", "black moor", 1)),
    tuple(
        (words.replace(" ", "-"), words, ("", "", "", ""))
        for words in (
            "clamped fins",
            "rubbing",
            "white spots",
            "ulcer",
            "gasping",
            "off food",
            "sinking",
            "floating",
            "bloated",
            "red streaks",
        )
    ),
)


def dose_view(ask: DoseAsk) -> DoseView:
    over = ask.target.startswith("6")
    stops = (
        (
            Stop(
                "over-hard-limit",
                "6 g/L is over the hard limit of 5 g/L",
                "treatments/salt.yaml line 41, its own source named there",
                "lower the target, or record your vet's direction",
                Bar("", Shown("6", "g/L"), 6, 6, 6, 5, "limit 5", over=True),
            ),
        )
        if over
        else ()
    )
    needs = (
        (
            Need(
                "a temperature read today",
                "the last one is 26 h old; it is asked for, never assumed",
                "temp",
            ),
        )
        if over
        else ()
    )
    return DoseView(
        title="Salt" if over else "Praziquantel powder",
        treatment="praziquantel",
        course="long-bath",
        vessel="Blue pool" if over else "North tub",
        volume=Shown("640 ± 40" if over else "372 ± 11", "L", "at today's line"),
        occupants="5 fish" if over else "3 fish",
        reaches=("North tub",),
        target=Shown("2", "mg/L"),
        target_range="2 to 5 mg/L, usual 2",
        level=Bar("", Shown("2", "mg/L"), 2, 2, 2.1, 6, "hard limit 6"),
        amount=None if over else Shown("0.75", "g"),
        spoken="zero point seven five grams",
        tool="the 0.01 g scale",
        tool_verb="weigh on",
        step_error="0.2 % under",
        product="batch P-2281, good to May 2027",
        asks_strength=True,
        strength_unit="%",
        strength_matches=None if not ask.strength else ask.strength.startswith("99"),
        conditions=(
            ConditionShown("temperature", "temperature read 07:10", True),
            ConditionShown("pH", "pH read 07:10", True),
            ConditionShown("oxygen", "oxygen", None),
        ),
        cares=(
            Care(
                "early",
                "5 days since the last dose, the label asks 7",
                (("eggs", "eggs seen"), ("vet", "vet said so")),
                "eggs seen",
            ),
        ),
        stops=stops,
        needs=needs,
        before=("carbon out", "UV off", "air on"),
        during=("watch for the first hour",),
        after=("carbon back in on Fri 27 Nov",),
        handling=("harmful if swallowed; gloves",),
        stock="",
        because="2 mg/L x 372 L / 99 % pure, none left from day 5; in the smallest water, 361 L, "
        "it is 2.1 mg/L. The label and your vet come first.",
        how=(
            "target 2 mg/L, nothing left from day 5",
            "2 mg/L x 372 L = 744 mg",
            "744 mg / 99 % = 751.5 mg",
            "rounded down to 0.01 g steps: 0.75 g",
        ),
        so_far=(("Fri 20 Nov", "0.75 g by K"), ("Wed 25 Nov", "this one")),
        curve=tuple((day / 4, 2 * 0.8 ** (day / 4)) for day in range(29)),
    )


class SampleRoom:
    """Answers every job with sample values; `wrote` keeps what was asked to be recorded."""

    def __init__(self) -> None:
        self.view = today_view()
        self.heads = 3
        self.bags = BAGS
        self.bag_view = CHOOSE
        self.quarantines = CALENDAR
        self.quarantined: tuple[str, ...] = ()
        self.foretold: list[tuple[str, dict[str, object]]] = []
        self.pages: list[tuple[int, int]] = []
        self.wrote: list[tuple[str, tuple[object, ...]]] = []

    def _write(self, what: str, *args: object, text: str = "") -> Recorded:
        self.wrote.append((what, args))
        return Recorded(900 + len(self.wrote), "18:42", text or what)

    def room(self) -> RoomFacts:
        return RoomFacts("K", False, "23 to 06")

    def timers(self) -> tuple[Timer, ...]:
        return self.view.timers

    def find(self, text: str) -> tuple[Found, ...]:
        names = (
            Found("fish", "Coal", "black moor, North tub"),
            Found("vessel", "North tub", "racetrack, 372 ± 11 L"),
            Found("fish", "Copper", "telescope, Racetrack"),
        )
        return tuple(f for f in names if text.lower() in f.name.lower())

    def wrong(self, vessel: str, rescue: str) -> Wrong:
        return Wrong(
            f"{rescue} {vessel}",
            (
                "Air stone on full, lower the water 10 cm for splash.",
                "Change a third with matched water.",
                "Read TAN, pH and temperature.",
            ),
            ("124 L for a third of North tub",),
            ("c on Today: the change",),
        )

    def residue(self, vessel: str, changes_a_day: int) -> ResidueView:
        return residue_view(vessel, changes_a_day)

    def forecast(self, vessel: str) -> ForecastView:
        return ForecastView(
            vessel,
            "hours without air until 5 mg/L of oxygen",
            (
                HoursBar("now", "5.8 to 22 h", 5.8, 21.6, short=True),
                HoursBar("a day of 24.4 C", "0.31 to over 72 h", 0.31, 137.0, short=True),
                HoursBar("now, until 3 mg/L", "9.3 h to no end", 9.3, None),
            ),
            (
                ("oxygen", "not read; full of air 9.2 mg/L (19.4 C)"),
                (
                    "fish",
                    "9, 300 to 900 g together; 74 to 223 mg of oxygen an hour",
                ),
                ("KH", "0.12 dKH a day is used; 18 days until it is low"),
                ("change", "due in 2 days 4 h, when NH3 is at its limit, 22 %, 82 L"),
            ),
            "oxygen not read: taken as at saturation, 80 % of it at the least; at sea level",
        )

    def rescues(self) -> tuple[tuple[str, str], ...]:
        return (
            ("gasping", "fish gasp at the surface"),
            ("chlorine", "tap water went in untreated"),
        )

    def correct_void(self, entry: int, why: str) -> Recorded:
        return self._write("void", entry, why)

    def entries(self, subject: str) -> tuple[EntryLine, ...]:
        return (
            EntryLine(801, "18:31 today", f"look: {subject}"),
            EntryLine(799, "07:10 today", "reading: temperature 19.4 C, pH 8.7"),
        )

    def entry(self, number: int) -> EntryView:
        fields = (EntryField("temp", "temperature", "19.4 C"), EntryField("ph", "pH", "8.7"))
        return EntryView(number, "reading of 07:10 today", fields if number == 799 else ())

    def correct(self, number: int, typed: Mapping[str, str], why: str) -> Recorded:
        return self._write("correct", number, dict(typed), why)

    def first_start(self) -> FirstStart:
        return FirstStart(
            "/home/k/room.db", False, "", "Europe/Lisbon", "/home/k/demo-room.db", False
        )

    def demo_room(self) -> None:
        self.wrote.append(("demo", ()))

    def room_new(self, typed: Mapping[str, str]) -> Recorded:
        return self._write("room", dict(typed))

    def room_things(self) -> tuple[KeptKind, ...]:
        return (
            KeptKind("tool", "scale or syringe", "scale 0.01 g"),
            KeptKind("kit", "test kit or meter", "none yet"),
            KeptKind("product", "bottle or packet", "none yet"),
            KeptKind("person", "vet, seller or helper", "none yet"),
            KeptKind("keeper", "keeper, who records", "K"),
            KeptKind("tap", "tap water", "none yet"),
        )

    def room_add(self, kind: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("add", kind, dict(typed))

    def appetite(self, vessel: str, ate: str) -> Recorded:
        return self._write("appetite", vessel, ate)

    def death(self, subject: str, typed: Mapping[str, str]) -> Recorded:
        recorded = self._write("death", subject, dict(typed))
        return replace(recorded, next_text="keep it cool, not frozen, and ring the vet")

    def under_way(self, vessel: str) -> tuple[tuple[str, str], ...]:
        return (("salt", "Salt, 1.2 g/L"),) if vessel == "North tub" else ()

    def stop(self, vessel: str, treatment: str, wash_out: bool) -> Recorded:
        return self._write("stop", vessel, treatment, wash_out)

    def given(self, ask: DoseAsk, typed: Mapping[str, str]) -> Recorded:
        recorded = self._write("given", ask.vessel, ask.treatment, dict(typed))
        return replace(recorded, warnings=("6 g/L is over the hard limit of 5 g/L",))

    def shelf(self, treatment: str) -> tuple[BottleChoice, ...]:
        return (
            BottleChoice("New#9", f"{treatment}, 99 % w/w, batch N9, good to 2027-05-01"),
            BottleChoice("Old#4", f"{treatment}, 99 % w/w, past its date, 2026-01-01", "past"),
        )

    def direction_read(self, typed: Mapping[str, str]) -> DirectionRead:
        del typed
        return DirectionRead(
            "4 g/L: four",
            ("holds for 10 days, as none were said (common practice)",),
            ("the vet's words do not say 4: read them again beside the target",),
        )

    def direction_record(self, typed: Mapping[str, str], again: str) -> Recorded:
        return self._write("direction", dict(typed), again)

    def bag_new(self, box: str) -> Recorded:
        return self._write("bag_new", box)

    def claim(self, shipment: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("claim", shipment, dict(typed))

    def today(self) -> TodayView:
        return self.view

    def all_well(self, vessel: str) -> Recorded:
        stops = tuple(
            replace(s, done_text="all well 18:42", last_entry=901) if s.vessel == vessel else s
            for s in self.view.stops
        )
        self.view = replace(self.view, stops=stops)
        return self._write("all_well", vessel)

    def seen_choice(self, vessel: str) -> SeenChoice:
        return replace(SEEN, vessel=vessel)

    def seen(self, subject: str, sign: str, grade: int, affected: int | None) -> Recorded:
        return self._write("seen", subject, sign, grade, affected)

    def reading(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("reading", vessel, dict(typed))

    def change_foretold(
        self,
        vessel: str,  # noqa: ARG002 - the protocol's signature
        typed: Mapping[str, str],
    ) -> ChangeView:
        return FORETOLD if typed.get("volume") else WATER_NOW

    def change(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("change", vessel, dict(typed))

    def feed(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("feed", vessel, dict(typed))

    def skip(self, task: str, why: str) -> Recorded:
        return self._write("skip", task, why)

    def done(self, task: str) -> Recorded:
        return self._write("done", task)

    def dose_choices(self) -> DoseChoices:
        return DoseChoices(
            due=(
                DoseDue("n/3", "salt", "Salt", "support", "North tub", "due today"),
                DoseDue(
                    "h/2", "praziquantel", "Praziquantel", "long-bath", "Hospital box", "due 19:00"
                ),
            ),
            treatments=(
                TreatmentChoice(
                    "salt",
                    "Salt",
                    "common practice",
                    (("support", "1 to 3 g/L for days"), ("bath", "10 g/L for 10 to 30 min")),
                ),
                TreatmentChoice(
                    "praziquantel",
                    "Praziquantel powder",
                    "label",
                    (("long-bath", "2 to 5 mg/L, usual 2"),),
                ),
                TreatmentChoice("formalin", "Formalin 37 %", "vet only", ()),
                TreatmentChoice("copper-sulfate", "Copper sulfate", "not advised", ()),
            ),
            vessels=(
                VesselChoice("North tub", Shown("372 ± 11", "L"), "3 fish", "quarantine day 12"),
                VesselChoice("Blue pool", Shown("640 ± 40", "L"), "5 fish", "quarantine day 3"),
            ),
            tools=(("scale", "0.01 g steps"),),
        )

    def dose(self, ask: DoseAsk) -> DoseView:
        return dose_view(ask)

    def dose_record(self, ask: DoseAsk, amount: str) -> Recorded:
        recorded = self._write("dose", ask, amount, text=f"{amount} in {ask.vessel}")
        return replace(recorded, next_text="carbon back in on Fri 27 Nov")

    def vessels(self) -> VesselsView:
        return VESSELS

    def vessel(self, name: str) -> VesselView:
        return bowl_view() if name == "Bowl" else replace(vessel_view(), vessel=name)

    def waterline(self, name: str, depth: str) -> VesselView:
        return replace(vessel_view(float(depth.split()[0])), vessel=name)

    def waterline_record(self, name: str, depth: str, by: str = "") -> Recorded:
        return self._write("waterline", name, depth, *([by] if by else []))

    def waterline_mark(self, name: str) -> Recorded:
        return self._write("mark", name)

    def waterline_file(self, name: str, end: str) -> str:
        assert name
        return f"/home/ana/waterline-6{end}"

    def doses_met(self, subject: str) -> tuple[tuple[int, str], ...]:
        return () if subject == "Bowl" else ((41, f"09:00 today  Salt 620 g in {subject}"),)

    def dose_whole(self, entry: int) -> tuple[tuple[str, tuple[str, ...]], ...]:
        names = [f"{n}  {name}" for n, name in enumerate(NAMES, 1)]
        return tuple((name, (f"entry {entry}", "unknown")) for name in names)

    def dose_paper(self, entry: int, end: str) -> str:
        return f"the record of entry {entry} is in /home/ana/dose-{entry}{end}"

    def release_paper(self, subject: str, end: str) -> str:
        return f"the release of {subject} is in /home/ana/release-6{end}"

    def calendar_file(self, end: str) -> str:
        return f"/home/ana/calendar{end}"

    def calendar_paper(self, system: str, out: str) -> str:
        self._write("calendar", system, out)
        return f"the calendar: {out}"

    def tub_card(self, name: str, end: str) -> str:
        return f"the card of {name} is in /home/ana/tub-card-6{end}"

    def waterline_table(self, name: str, out: str, every: str) -> str:
        self._write("table", name, out, every)
        return f"46 lines of {name} are in {out}"

    def sizes(self, shape: str) -> tuple[SizeQuestion, ...]:
        assert shape
        return SIZES_OF_A_BOX

    def vessel_sketch(self, name: str, shape: str, typed: Mapping[str, str]) -> VesselView:
        if "depth" not in typed:
            raise Unreadable(Problem("reading-missing", "the depth is missing"))
        return replace(vessel_view(), vessel=name, shape=shape)

    def vessel_record(self, name: str, shape: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("vessel", name, shape, dict(typed))

    def gravel(self, name: str, gravel: str) -> VesselView:
        assert gravel
        return replace(vessel_view(), vessel=name)

    def logger_look(
        self, vessel: str, typed: Mapping[str, str], progress: Callable[[float], None]
    ) -> LogLook:
        progress(0.5)
        if not typed["file"].endswith(".csv"):
            raise Unreadable(
                *(Problem("not-a-number", "'hot' is no temperature", path="f", line=n)
                  for n in range(2, 9))
            )  # fmt: skip
        return log_look(vessel, typed["file"])

    def logger_record(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("log", vessel, dict(typed))

    def gauging(self, vessel: str) -> GaugingState:
        assert vessel
        return GaugingState(ways=(("tape", "tape, 372 L"), ("fill", "fill, 381 L")))

    def salt_needed(self, vessel: str, typed: Mapping[str, str]) -> SaltAsked:
        assert typed
        return SaltAsked("66 g", f"66 g tells {vessel} to 5 %")

    def gauging_record(self, kind: str, typed: Mapping[str, str], why: str) -> Recorded:
        return self._write(kind, dict(typed), why)

    def calendar(self) -> CalendarView:
        return self.quarantines

    def quarantine_choices(self) -> QuarantineChoices:
        return CHOICES

    def would_follow(self, kind: str, typed: Mapping[str, object]) -> tuple[str, ...]:
        self.foretold.append((kind, dict(typed)))
        return follows(kind, typed)

    def quarantine_write(self, kind: str, typed: Mapping[str, object], why: str) -> Recorded:
        return self._write(kind, dict(typed), why)

    def fish(self, vessel: str) -> FishView:
        return replace(fish_view(vessel, self.heads), quarantined=self.quarantined)

    def fish_page(self, vessel: str, start: int, count: int) -> FishPage:
        self.pages.append((start, count))
        return fish_page(vessel, start, count, self.heads)

    def fish_place(self, vessel: str, name: str) -> int:
        assert not vessel
        return next(i for i in range(self.heads) if fish_row(i).name == name)

    def fish_detail(self, name: str) -> FishDetail:
        return fish_detail(name)

    def weigh(self, name: str, mass: str) -> Recorded:
        return self._write("weigh", name, mass)

    def move(
        self, name: str, count: int | None, to: str, why: str, mixing: bool = False
    ) -> Recorded:
        return self._write("move", name, count, to, why, *(["mixing"] if mixing else []))

    def move_what_if(
        self, name: str, count: int | None, to: str, mixing: bool = False
    ) -> tuple[str, ...]:
        assert count is None or count > 0
        if mixing:
            return ()
        return (f"{to}: days served begin again at 0, because {name} comes from quarantine",)

    def shipments(self) -> ReceiveList:
        return self.bags

    def bag(self, box: str, bag: int) -> ReceiveView:
        return replace(self.bag_view, box=box, bag=bag)

    def shipment_new(self, typed: Mapping[str, str]) -> Recorded:
        return self._write("shipment", dict(typed))

    def bag_save(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
        return self._write("bag", box, bag, dict(typed))

    def choose(self, box: str, bag: int, method: str, vessel: str, why: str) -> Recorded:
        return self._write("choose", box, bag, method, vessel, why)

    def checkpoint(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
        return self._write("checkpoint", box, bag, dict(typed))

    def next_step(self, box: str, bag: int) -> Recorded:
        return self._write("next", box, bag)

    def hold(self, box: str, bag: int, on: bool) -> Recorded:
        return self._write("hold", box, bag, on)

    def crossing_paper(self, box: str, bag: int, end: str) -> str:
        return f"its way across is in {box}-{bag}{end}"

    def settle(self, box: str, bag: int, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return self._write("settle", box, bag, vessel, dict(typed))

    def protocols(self) -> ProtocolsView:
        return PROTOCOLS

    def protocol(self, id: str) -> ProtocolText:
        return opened_protocol(id)

    def protocol_check(self, id: str, text: str) -> ProtocolText:
        return opened_protocol(id, text)

    def protocol_save(self, id: str, text: str, why: str) -> Recorded:
        return self._write("protocol", id, text, why)

    def protocol_restore(self, id: str) -> Recorded:
        return self._write("restore", id)


ALERT = Alert(
    "call-vet", "2 of 9 in Racetrack rub", "the same sign in two fish within 48 h.", "Racetrack"
)
