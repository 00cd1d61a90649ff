"""One bag on hand: which it is, how far it has come, where it goes, what is asked of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from intake.flows.crossing import hours_packed
from intake.flows.crossing_run import crossing
from intake.flows.desk import Book
from intake.flows.facts.things import Animal, Bag, Box, Kit, Shipment, System, Vessel
from intake.flows.facts.volumes import litres
from intake.flows.forms.readers import ABox, Asked
from intake.flows.jobs.words import MEQ_PER_DEGREE, with_doubt
from intake.flows.kits import SHORT, doubt_of, only_kit, step_texts, tests_of
from intake.flows.views.parts import Shown
from intake.flows.views.receive import BagQuestion
from intake.science.figures import figure
from intake.science.problem import Problem, Unreadable
from intake.science.show import show, show_range


@dataclass(frozen=True, slots=True)
class Ask:
    """One question: of which step, in which words, and the unit meant where none is typed."""

    field: str
    step: str
    ask: str
    kind: str
    unit: str = ""
    hint: str = ""


KEEP_SHUT = "keep it shut; take 20 mL through the neck"
ASKS = (
    Ask("photo", "open", "picture of the shut bag", "text",
        hint="where the file is; ? goes on without: fish first"),
    Ask("fish", "open", "fish in the bag", "count", hint="counted through the shut bag"),
    Ask("hours", "open", "hours packed", "duration", "h", "from the label or the seller"),
    Ask("temp", "read", "bag temperature, C", "temperature", "C",
        "thermometer between two folds of the shut bag"),
    Ask("ph", "read", "bag pH", "ph", hint=KEEP_SHUT),
    Ask("tan", "read", "bag TAN, mg/L", "tan", "mg/L",
        "keep it shut; a sample of 1 part in 2: 8 diluted 2"),
    Ask("kh", "read", "bag KH, dKH", "alkalinity", "dKH", KEEP_SHUT),
    Ask("volume", "read", "water in the bag, L", "volume", "L", "by eye against a bottle"),
)  # fmt: skip
"""What is asked of a bag, in order; "?" in any of them says it was not read."""
KEPT_AS = {"hours": "hours_packed"}
"""Questions that the journal keeps under another name."""


@dataclass(frozen=True, slots=True)
class OnHand:
    """A bag with the box and shipment it came in; one that is not recorded yet is empty."""

    shipment: Shipment
    box: Box | None
    bag: Bag

    @property
    def known(self) -> bool:
        """Whether the bag is recorded."""
        return self.box is not None and self.bag.number in self.box.bags

    @property
    def box_name(self) -> str:
        """What its box is called, or its shipment where it has no box yet."""
        return self.box.name if self.box is not None else self.shipment.name


def on_hand(book: Book, box: str, bag: int) -> OnHand:
    """The bag of that number.

    Raises
    ------
    Unreadable
        no-such-name, where there is no such box or shipment.
    """
    found = ABox(("box", "shipment")).read(box, Asked(book, book.now))
    if isinstance(found, Problem):
        raise Unreadable(found.placed("BOX"))
    if isinstance(found, Box):
        shipment = book.facts.shipment(found.shipment)
        return OnHand(shipment, found, found.bags.get(bag) or Bag(bag, book.now))
    assert isinstance(found, Shipment)
    return OnHand(found, None, Bag(bag, book.now))


def fish_text(bag: Bag) -> str:
    """``3 fish``, ``3 fish, 1 dead``, ``fish not counted``."""
    fish = bag.content.get("fish")
    if fish is None:
        return "fish not counted"
    counted = [f"{n} {w}" for w in ("dead", "weak") if (n := bag.content.get(w))]
    return ", ".join([f"{fish} fish", *counted])


def living(bag: Bag) -> int | None:
    """How many of its fish live, None where nobody counted."""
    fish = bag.content.get("fish")
    return None if fish is None else max(0, int(fish) - int(bag.content.get("dead") or 0))


def step_of(book: Book, it: OnHand) -> str:
    """How far it has come: one of the steps, or settled."""
    bag = it.bag
    if bag.settled or living(bag) == 0:
        return "settled"
    run = crossing(book, bag)
    if run is not None:
        return "settle" if run.over else "run"
    open_ = [ask.step for ask, text in answered(book, it) if not text]
    return open_[0] if open_ else "choose"


def answered(book: Book, it: OnHand) -> Iterator[tuple[Ask, str]]:
    """Every question with its answer as typed: "?" where it was not read, "" while it is open."""
    for ask in ASKS:
        kept = KEPT_AS.get(ask.field, ask.field)
        yield ask, _text(book, it, ask) or ("?" if kept in it.bag.not_read else "")


def _text(book: Book, it: OnHand, ask: Ask) -> str:
    bag = it.bag
    if ask.field == "photo":
        return bag.photo
    if ask.field == "fish":
        return str(bag.content.get("fish", ""))
    if ask.field == "hours":
        hours = hours_packed(book, it.box, it.bag) if it.box else None
        return "" if hours is None else f"{figure(hours)} h"
    kept = bag.content.get("volume") if ask.field == "volume" else read_of(bag, ask.field)
    return str(kept["text"]) if kept else ""


def read_of(bag: Bag, name: str) -> dict[str, object] | None:
    """A reading of the bag as it is kept."""
    found: dict[str, object] | None = bag.content.get("read", {}).get(name)
    return found


def questions(book: Book, it: OnHand, assumed: dict[str, str]) -> tuple[BagQuestion, ...]:
    """The questions as a screen asks them."""
    return tuple(
        BagQuestion(
            ask.field,
            ask.ask,
            ask.kind,
            basis=tan_kit(book)[1] if ask.field == "tan" else "",
            **_card(book, ask.field),
            text=text,
            shown=_answer(it.bag, ask, text),
            assumed=assumed.get(ask.field, ""),
            hint=ask.hint,
        )
        for ask, text in answered(book, it)
    )


def _answer(bag: Bag, ask: Ask, text: str) -> Shown | None:
    """An answer as it is shown; None where the text itself says it."""
    if text in ("", "?") or ask.step == "open":
        return None
    return shown(bag, ask.field)


def shown(bag: Bag, field: str, assumed: str = "") -> Shown:
    """A reading of the bag as it is shown; what stands in for it where it was not read."""
    kept = bag.content.get("volume") if field == "volume" else read_of(bag, field)
    unit = next((a.unit for a in ASKS if a.field == field), "")
    if field == "salt":
        unit = "g/L"
    if not kept or kept["value"] is None:
        if not assumed:
            return Shown("?", "", "not read", doubtful=True)
        number = assumed.removesuffix(" as N").removesuffix(unit).rstrip()
        return Shown(number, unit, "assumed", doubtful=True)
    per = MEQ_PER_DEGREE if field == "kh" else 1.0
    value, low, high = (None if kept[k] is None else float(str(kept[k])) / per for k in KEYS)
    assert value is not None
    if kept["band"]:
        return Shown(show_range(low, high, ""), unit, "read")
    half = (high - low) / 2 if low is not None and high is not None else 0.0
    return Shown(show(value, "", half=half if half > 0 else None), unit, "read")


KEYS = ("value", "low", "high")


BY_KIT = ("tan", "ph", "kh")
"""What is asked of a bag and read with a kit."""


def _card(book: Book, field: str) -> dict[str, Any]:
    """The kit a question is answered with, where the room has one, and its colours."""
    kit = only_kit(book, field) if field in BY_KIT else None
    if kit is None:
        return {}
    doubt = doubt_of(book, kit, book.now)
    return {
        "kit": kit.name + (f", {SHORT[doubt[0]]}" if doubt is not None else ""),
        "steps": step_texts(kit, field),
    }


def tan_kit(book: Book) -> tuple[str, str]:
    """The room's only kit for TAN and what it reports; blanks where there is none or several."""
    kit = only_kit(book, "tan")
    return ("", "") if kit is None else (kit.name, kit.reports)


def kits_for(book: Book, typed: Mapping[str, str]) -> str:
    """The kits that what was typed of a bag was read with, as the form of a bag names them."""
    kits: list[Kit] = []
    for field in BY_KIT:
        text = typed.get(field, "?")
        kit = None if text == "?" or " as " in text else only_kit(book, field)
        if kit is not None and not any(set(tests_of(kit)) & set(tests_of(k)) for k in kits):
            kits.append(kit)
    return ", ".join(kit.name for kit in kits)


ORDER = ("quarantine", "hospital", "cleared", "resident", "fry", "eggs")


def choices(book: Book) -> list[Vessel]:
    """The vessels with water in them, those meant for new fish first."""
    every = [v for v in book.facts.of_kind(Vessel) if v.present and litres(v)[0] > 0]
    place = {zone: n for n, zone in enumerate(ORDER)}
    return sorted(every, key=lambda v: (place.get(v.zone, len(place)), v.id))


def vessel_detail(book: Book, vessel: Vessel) -> str:
    """``372 ± 11 L, quarantine, no fish``."""
    volume = with_doubt(*litres(vessel), "L")
    here = book.facts.occupants(book.facts.system_of(vessel).vessels)
    return ", ".join(p for p in (f"{volume.text} L", vessel.zone, who(here)) if p)


def who(animals: list[Animal]) -> str:
    """``no fish``, ``3 fish: Ash, Brick, Coal``, ``7 fish: Old reds``."""
    if not animals:
        return "no fish"
    names = [a.name for a in animals]
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return f"{sum(a.count for a in animals)} fish: {', '.join(names[:3])}{more}"


def destination(book: Book, it: OnHand) -> Vessel | None:
    """Where its fish go: as chosen, as meant, as the rest of its shipment, else where a
    quarantine waits for fish, else the first empty vessel of the quarantine zone.
    """
    facts = book.facts
    bags = [b for x in it.shipment.boxes for b in facts.box(x).bags.values()]
    others = [b.vessel or b.goes_to for b in bags if b.vessel or b.goes_to]
    for id_ in (it.bag.vessel, it.bag.goes_to, *reversed(others)):
        if id_ and facts.vessel(id_).present:
            return facts.vessel(id_)
    every = choices(book)
    empty = [v for v in every if not facts.occupants(facts.system_of(v).vessels)]
    waiting = [v for v in empty if _waits(facts.system_of(v))]
    fit = [v for v in empty if v.zone in ("quarantine", "hospital")]
    return next(iter([*waiting, *fit]), None)


def _waits(system: System) -> bool:
    return system.quarantine is not None
