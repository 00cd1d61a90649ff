"""The jobs of the screens, on a room: one method each, every one a flow that commands use too."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.jobs import (
    bathing,
    calendar,
    change,
    directions,
    dose_choices,
    doses,
    entries,
    fish,
    forecast,
    gauging,
    given,
    joined,
    lines,
    losses,
    protocols,
    receive,
    residue,
    shell,
    start,
    today,
    today_record,
    vessels,
)
from intake.flows.jobs.papers import PaperJobs
from intake.flows.jobs.refusals import two_ways
from intake.flows.views.bath import BathAsk, BathChoices, BathView
from intake.flows.views.calendar import CalendarView
from intake.flows.views.change import ChangeView
from intake.flows.views.dose import DoseAsk, DoseChoices, DoseView
from intake.flows.views.entries import EntryLine, EntryView
from intake.flows.views.fish import FishDetail, FishPage, FishView
from intake.flows.views.forecast import ForecastView
from intake.flows.views.gauging import GaugingState, SaltAsked
from intake.flows.views.joined import Apart, LinkChoices
from intake.flows.views.parts import Found, Recorded, RoomFacts, Timer, Wrong
from intake.flows.views.protocols import ProtocolsView, ProtocolText
from intake.flows.views.receive import ReceiveList, ReceiveView
from intake.flows.views.residue import ResidueView
from intake.flows.views.shelf import BottleChoice, DirectionRead
from intake.flows.views.start import FirstStart, KeptKind
from intake.flows.views.today import SeenChoice, TodayView
from intake.flows.views.vessels import SizeQuestion, VesselsView, VesselView


class RoomJobs(PaperJobs):
    """What the screens can ask of one room; `intake.flows.views.Jobs` says what each is."""

    def room(self) -> RoomFacts:
        return shell.room(self.desk)

    def timers(self) -> tuple[Timer, ...]:
        return shell.running_now(self.desk)

    def find(self, text: str) -> tuple[Found, ...]:
        return shell.find(self.desk, text)

    def wrong(self, vessel: str, rescue: str) -> Wrong:
        return shell.wrong(self.desk, vessel, rescue)

    def forecast(self, vessel: str) -> ForecastView:
        return forecast.view(self.desk, vessel)

    def residue(self, vessel: str, changes_a_day: int) -> ResidueView:
        return residue.view(self.desk, vessel, changes_a_day)

    def rescues(self) -> tuple[tuple[str, str], ...]:
        return shell.rescues()

    def correct_void(self, entry: int, why: str) -> Recorded:
        return shell.correct_void(self.desk, entry, why)

    def entries(self, subject: str) -> tuple[EntryLine, ...]:
        return entries.entries(self.desk, subject)

    def entry(self, number: int) -> EntryView:
        return entries.entry(self.desk, number)

    def correct(self, number: int, typed: Mapping[str, str], why: str) -> Recorded:
        return entries.correct(self.desk, number, typed, why)

    def first_start(self) -> FirstStart:
        return start.first_start(self.desk)

    def demo_room(self) -> None:
        self.desk = start.demo_room(self.desk)

    def room_new(self, typed: Mapping[str, str]) -> Recorded:
        return start.room_new(self.desk, typed)

    def room_things(self) -> tuple[KeptKind, ...]:
        return start.room_things(self.desk)

    def room_add(self, kind: str, typed: Mapping[str, str]) -> Recorded:
        return start.room_add(self.desk, kind, typed)

    def today(self) -> TodayView:
        return today.view(self.desk)

    def all_well(self, vessel: str) -> Recorded:
        return today_record.all_well(self.desk, vessel)

    def appetite(self, vessel: str, ate: str) -> Recorded:
        return today_record.appetite(self.desk, vessel, ate)

    def death(self, subject: str, typed: Mapping[str, str]) -> Recorded:
        return losses.death(self.desk, subject, typed)

    def under_way(self, vessel: str) -> tuple[tuple[str, str], ...]:
        return given.under_way(self.desk, vessel)

    def stop(self, vessel: str, treatment: str, wash_out: bool) -> Recorded:
        return given.stop(self.desk, vessel, treatment, wash_out)

    def seen_choice(self, vessel: str) -> SeenChoice:
        return today_record.seen_choice(self.desk, vessel)

    def seen(self, subject: str, sign: str, grade: int, affected: int | None) -> Recorded:
        return today_record.seen(self.desk, subject, sign, grade, affected)

    def reading(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return today_record.reading(self.desk, vessel, typed)

    def change_foretold(self, vessel: str, typed: Mapping[str, str]) -> ChangeView:
        return change.foretold(self.desk, vessel, typed)

    def change(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return change.change(self.desk, vessel, typed)

    def feed(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return today_record.feed(self.desk, vessel, typed)

    def skip(self, task: str, why: str) -> Recorded:
        return today_record.skip(self.desk, task, why)

    def done(self, task: str) -> Recorded:
        return today_record.done(self.desk, task)

    def dose_choices(self) -> DoseChoices:
        return dose_choices.choices(self.desk)

    def dose(self, ask: DoseAsk) -> DoseView:
        return doses.view(self.desk, ask)

    def dose_record(self, ask: DoseAsk, amount: str) -> Recorded:
        return doses.record(self.desk, ask, amount)

    def shelf(self, treatment: str) -> tuple[BottleChoice, ...]:
        return directions.shelf(self.desk, treatment)

    def direction_read(self, typed: Mapping[str, str]) -> DirectionRead:
        return directions.direction_read(self.desk, typed)

    def direction_record(self, typed: Mapping[str, str], again: str) -> Recorded:
        return directions.direction_record(self.desk, typed, again)

    def bath_choices(self, treatment: str, vessel: str) -> BathChoices:
        return bathing.choices(self.desk, treatment, vessel)

    def bath(self, ask: BathAsk) -> BathView:
        return bathing.view(self.desk, ask)

    def bath_begin(self, ask: BathAsk, amount: str) -> Recorded:
        return bathing.begin(self.desk, ask, amount)

    def bath_lift(self, entry: int) -> Recorded:
        return bathing.lift(self.desk, entry)

    def given(self, ask: DoseAsk, typed: Mapping[str, str]) -> Recorded:
        return given.given(self.desk, ask, typed)

    def shipments(self) -> ReceiveList:
        return receive.shipments(self.desk)

    def bag(self, box: str, bag: int) -> ReceiveView:
        return receive.bag(self.desk, box, bag)

    def shipment_new(self, typed: Mapping[str, str]) -> Recorded:
        return receive.shipment_new(self.desk, typed)

    def bag_save(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
        return receive.bag_save(self.desk, box, bag, typed)

    def bag_new(self, box: str) -> Recorded:
        return receive.bag_new(self.desk, box)

    def claim(self, shipment: str, typed: Mapping[str, str]) -> Recorded:
        return receive.claim(self.desk, shipment, typed)

    def choose(self, box: str, bag: int, method: str, vessel: str, why: str) -> Recorded:
        return receive.choose(self.desk, box, bag, method, vessel, why)

    def checkpoint(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
        return receive.checkpoint(self.desk, box, bag, typed)

    def next_step(self, box: str, bag: int) -> Recorded:
        return receive.next_step(self.desk, box, bag)

    def hold(self, box: str, bag: int, on: bool) -> Recorded:
        return receive.hold(self.desk, box, bag, on)

    def settle(self, box: str, bag: int, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return receive.settle(self.desk, box, bag, vessel, typed)

    def calendar(self) -> CalendarView:
        return calendar.view(self.desk)

    def fish(self, vessel: str) -> FishView:
        return fish.view(self.desk, vessel)

    def fish_page(self, vessel: str, start: int, count: int) -> FishPage:
        return fish.page(self.desk, vessel, start, count)

    def fish_place(self, vessel: str, name: str) -> int:
        return fish.place(self.desk, vessel, name)

    def fish_detail(self, name: str) -> FishDetail:
        return fish.detail(self.desk, name)

    def weigh(self, name: str, mass: str) -> Recorded:
        return fish.weigh(self.desk, name, mass)

    def move(self, name: str, count: int | None, to: str, why: str) -> Recorded:
        return fish.move(self.desk, name, count, to, why)

    def move_what_if(self, name: str, count: int | None, to: str) -> tuple[str, ...]:
        return fish.move_what_if(self.desk, name, count, to)

    def vessels(self) -> VesselsView:
        return vessels.view(self.desk)

    def vessel(self, name: str) -> VesselView:
        return vessels.one(self.desk, name)

    def waterline(self, name: str, depth: str) -> VesselView:
        return vessels.waterline(self.desk, name, depth)

    def waterline_record(self, name: str, depth: str, by: str = "") -> Recorded:
        return lines.at_depth(self.desk, name, depth, by)

    def waterline_mark(self, name: str) -> Recorded:
        return lines.at_mark(self.desk, name)

    def sizes(self, shape: str) -> tuple[SizeQuestion, ...]:
        return vessels.sizes(self.desk, shape)

    def vessel_sketch(self, name: str, shape: str, typed: Mapping[str, str]) -> VesselView:
        return vessels.sketch(self.desk, name, shape, typed)

    def vessel_record(self, name: str, shape: str, typed: Mapping[str, str]) -> Recorded:
        return vessels.record(self.desk, name, shape, typed)

    def gravel(self, name: str, gravel: str) -> VesselView:
        return vessels.gravel(self.desk, name, gravel)

    def gauging(self, vessel: str) -> GaugingState:
        return gauging.state(self.desk, vessel)

    def salt_needed(self, vessel: str, typed: Mapping[str, str]) -> SaltAsked:
        return gauging.salt(self.desk, vessel, typed)

    def gauging_record(self, kind: str, typed: Mapping[str, str], why: str) -> Recorded:
        return gauging.write(self.desk, kind, typed, why)

    def apart(self, vessel: str) -> Apart:
        return joined.apart(self.desk, vessel)

    def apart_record(self, vessel: str, rejoin: bool) -> Recorded:
        return joined.apart_record(self.desk, vessel, rejoin)

    def link_choices(self, vessel: str) -> LinkChoices:
        return joined.link_choices(self.desk, vessel)

    def link(self, a: str, b: str, by: str, ended: bool) -> Recorded:
        return joined.link(self.desk, a, b, by, ended)

    def protocols(self) -> ProtocolsView:
        return protocols.view(self.desk)

    def protocol(self, id: str) -> ProtocolText:
        return protocols.one(self.desk, id)

    def protocol_check(self, id: str, text: str) -> ProtocolText:
        return protocols.check(self.desk, id, text)

    def protocol_save(self, id: str, text: str, why: str) -> Recorded:
        return protocols.save(self.desk, id, text, why)

    def protocol_restore(self, id: str) -> Recorded:
        return protocols.restore(self.desk, id)


for _name, _method in list(vars(RoomJobs).items()):
    if not _name.startswith("_"):
        setattr(RoomJobs, _name, two_ways(_method))
