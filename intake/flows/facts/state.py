"""The facts of a room: a fold over effective entries in the order (at, entry)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo

from intake.flows.facts.happened import DirectionFact, LinkFact
from intake.flows.facts.things import Animal, Box, ReadingFact, Shipment, System, Thing, Vessel
from intake.science.problem import Problem
from intake.science.text import twin_key

if TYPE_CHECKING:
    from intake.store.journal import Entry

T = TypeVar("T", bound=Thing)


@dataclass(slots=True)
class Facts:
    """Everything the journal says, as of the last entry folded."""

    time_zone: str = "UTC"
    units: str = "metric"
    tape_cm: float = 1.0
    night_drop_c: float = 0.0  # how far the water cools by night
    decimal: str = "point"
    settings: dict[str, str] = field(default_factory=dict)
    keepers: dict[str, int] = field(default_factory=dict)
    things: dict[int, Thing] = field(default_factory=dict)
    systems: dict[int, System] = field(default_factory=dict)
    links: list[LinkFact] = field(default_factory=list)
    tap: dict[str, ReadingFact] = field(default_factory=dict)
    marked: dict[str, tuple[int, datetime, str, str]] = field(default_factory=dict)
    protocols: dict[str, tuple[int, datetime, str]] = field(default_factory=dict)
    """The newest change of each protocol of the keeper's own: entry, when, saved or restored."""
    directions: list[DirectionFact] = field(default_factory=list)
    last: tuple[datetime, int] | None = None
    logs: dict[int, tuple[str, str, int]] = field(default_factory=dict)
    """The files of loggers that count: SHA-256, column and vessel or system, by entry."""
    loose: list[int] = field(default_factory=list)
    """Entries that speak of something whose own entry was voided; they count for nothing."""

    def fold(self, entry: Entry) -> None:
        """Takes in one effective entry; entries come in the order (at, entry)."""
        from intake.flows.facts.steps import STEPS
        from intake.flows.facts.upcast import today

        step = STEPS.get(entry.kind)
        if step is not None and not step(self, today(entry)):
            self.loose.append(entry.entry)
        self.last = (entry.at, entry.entry)

    @property
    def zone(self) -> ZoneInfo:
        """The room's time zone."""
        return ZoneInfo(self.time_zone)

    @property
    def comma(self) -> bool:
        """Whether numbers are typed with a decimal comma."""
        return self.decimal == "comma"

    def local(self, moment: datetime) -> str:
        """A moment as people read it: ``Sat 28 Nov 18:40``."""
        there = moment.astimezone(self.zone)
        return f"{there:%a} {there.day} {there:%b %H:%M}"

    def of_kind(self, kind: type[T]) -> Iterator[T]:
        """All things of one class, oldest first, gone ones included."""
        return (t for t in self.things.values() if type(t) is kind)

    def waters(self) -> Iterator[System]:
        """All water systems there are now, without those that were rejoined to another."""
        return (s for s in self.systems.values() if s.present)

    def water_now(self, id: int) -> System:
        """The water that system's water is in now."""
        system = self.systems[id]
        return self.water_now(system.into) if system.into else system

    def vessel(self, id: int) -> Vessel:
        """The vessel made by that entry."""
        found = self.things[id]
        assert isinstance(found, Vessel)
        return found

    def vessel_named(self, name: str) -> Vessel | None:
        """The vessel of that name that is here, None where there is none."""
        return next((v for v in self.of_kind(Vessel) if v.name == name and v.present), None)

    def animal(self, id: int) -> Animal:
        """The fish or group made by that entry."""
        found = self.things[id]
        assert isinstance(found, Animal)
        return found

    def box(self, id: int) -> Box:
        """The box made by that entry."""
        found = self.things[id]
        assert isinstance(found, Box)
        return found

    def shipment(self, id: int) -> Shipment:
        """The shipment made by that entry."""
        found = self.things[id]
        assert isinstance(found, Shipment)
        return found

    def system_of(self, vessel: Vessel) -> System:
        """The water system a vessel is in."""
        return self.systems[vessel.system]

    def water_meant(self, content: Mapping[str, Any], name: str) -> System | None:
        """The water an entry speaks of, by number and by the name that was typed.

        A system has the number of the vessel it began with. Where that vessel was voided or put
        into other water by a correction, the name still tells which water was meant.
        """
        vessel = self.things.get(content.get("vessel", 0))
        if isinstance(vessel, Vessel):
            return self.system_of(vessel)
        return self.water_named(content["refs"][name], content.get(name))

    def water_named(self, number: int, typed: str | None) -> System | None:
        """The water of that number; by its name where the number means another one now."""
        found = self.systems.get(number)
        if found is not None and found.name == typed:
            return found
        shared = [s for s in self.systems.values() if s.name == typed and self._shared(s)]
        if shared:
            return shared[-1]
        if found is None:
            vessels = [v for v in self.of_kind(Vessel) if v.name == typed]
            return self.system_of(vessels[-1]) if vessels else None
        return found

    def _shared(self, system: System) -> bool:
        """Whether its name was given to a water, and is not just a vessel's own."""
        return any(self.vessel(v).content.get("system") == system.name for v in system.vessels)

    def occupants(self, vessels: Iterable[int]) -> list[Animal]:
        """The fish and groups in these vessels now."""
        wanted = set(vessels)
        return [a for a in self.of_kind(Animal) if a.present and a.vessel in wanted]

    def named(self) -> Iterator[tuple[str, Thing]]:
        """Every name that may not be used twice, with the present thing that has it."""
        for thing in self.things.values():
            if thing.present and isinstance(thing, Vessel | Animal | Shipment | Box):
                yield thing.name, thing
        for system in self.waters():
            if not self._same_as_vessel(system):
                yield system.name, system

    def _same_as_vessel(self, system: System) -> bool:
        """Whether it is just a vessel's own water under that vessel's name."""
        makers = [self.things.get(system.id), *(self.things.get(v) for v in system.vessels)]
        return any(thing is not None and thing.name == system.name for thing in makers)

    def name_taken(self, name: str, but: int | None = None) -> Problem | None:
        """A `name-taken` problem where a present thing has this name or one too like it.

        `but` is a thing that may keep its own name.
        """
        twin = twin_key(name)
        for other, thing in self.named():
            if thing.id != but and twin_key(other) == twin:
                like = "taken by" if other == name else "too like the name of"
                text = f"'{name}' is {like} the {thing.kind} '{other}'"
                return Problem("name-taken", text, "choose a name that cannot be mixed up")
        return None

    def find(self, text: str, kinds: tuple[str, ...], when: datetime) -> Thing | Problem:
        """The thing of that name (or NAME#ENTRY) and of one of these kinds at that time.

        ``system`` among the kinds also takes a vessel's name and means the system it is in.
        """
        from intake.flows.names import unknown

        name, mark, number = text.strip().rpartition("#")
        if mark and number.isdigit():
            for thing in self._numbered(int(number), kinds):
                if thing.name == name:
                    return thing
            return unknown(text, (), f"a {' or '.join(kinds)} of this room")
        candidates = [t for t in self._of(kinds) if t.name == text.strip()]
        there = [t for t in candidates if t.since <= when and (t.until is None or t.until > when)]
        if there:
            return self._as_asked(there[-1], kinds)
        if candidates:
            return self._at_another_time(candidates[-1], when)
        names = {t.name for t in self._of(kinds) if t.present}
        return unknown(text.strip(), names, f"a {' or '.join(kinds)} of this room")

    def _of(self, kinds: tuple[str, ...]) -> Iterator[Thing]:
        if "system" in kinds:
            yield from self.systems.values()
        for thing in self.things.values():
            if thing.kind in kinds or (thing.kind == "vessel" and "system" in kinds):
                yield thing

    def _numbered(self, number: int, kinds: tuple[str, ...]) -> list[Thing]:
        """What the entry of that number made: a vessel may have begun a system of another name."""
        made = (self.things.get(number), self.systems.get(number))
        return [thing for thing in made if thing is not None and thing.kind in kinds]

    def name_now(self, name: str, number: int, kinds: tuple[str, ...]) -> str:
        """NAME#ENTRY of something an entry speaks of by `name`, by the name it has today."""
        found = self._numbered(number, kinds)
        if not found or any(thing.name == name for thing in found):
            return f"{name}#{number}"
        return f"{found[0].name}#{number}"

    def _as_asked(self, thing: Thing, kinds: tuple[str, ...]) -> Thing:
        if isinstance(thing, Vessel) and "vessel" not in kinds:
            return self.system_of(thing)
        return thing

    def _at_another_time(self, thing: Thing, when: datetime) -> Problem:
        shown = self.local(when)
        if thing.since > when:
            text = f"'{thing.name}' is recorded from {self.local(thing.since)}, not yet at {shown}"
            return Problem("no-such-name", text, "check the time, or correct when it came")
        left = self.local(thing.until) if thing.until else ""
        hint = f"{thing.name}#{thing.id} names it in: intake history"
        return Problem("no-such-name", f"'{thing.name}' left on {left}", hint)
