"""The demo room's story: invented people and suppliers, times counted back from today.

Each line is (days ago, local time, kind, text of the form's fields, and what is said beside
them). Every line goes through the same flow as a keeper's own entries.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

KEEPER = "Marta Quill"
HELPER = "Jon Abery"


@dataclass(frozen=True, slots=True)
class Line:
    """One entry of the story."""

    days_ago: int
    at: str
    kind: str
    typed: dict[str, Any]
    said: dict[str, str] = field(default_factory=dict)
    keeper: str = KEEPER


def _line(days_ago: int, at: str, kind: str, /, said: str = "", **typed: Any) -> Line:
    beside = {"why": said} if said else {}
    return Line(days_ago, at, kind, typed, beside)


def _setting_up() -> Iterator[Line]:
    yield _line(122, "09:00", "keeper", name=HELPER)
    yield _line(122, "09:05", "person", name="Dr Ilse Farrow", role="vet", phone="0550 1818")
    yield _line(122, "09:10", "tool", step="0.1 g", name="pocket scale")
    yield _line(122, "09:10", "tool", step="1 g", name="kitchen scale")
    yield _line(122, "09:11", "tool", step="0.1 mL", name="2 mL syringe")
    yield _line(122, "09:12", "kit", name="drop kit", tests="tan", reports="N",
                steps="0 0.25 0.5 1 2 4 8", fooled_by="formalin",
                expires_ago="-200")  # fmt: skip
    yield _line(122, "09:13", "kit", name="pH pen", tests="ph", error="0.1 pH")
    yield _line(122, "10:00", "vessel", name="Long tank", shape="box", length="118 cm",
                width="44 cm", depth="40 cm", height="46 cm", zone="resident")  # fmt: skip
    yield _line(122, "10:10", "vessel", name="Window tank", shape="box", length="90 cm",
                width="44 cm", depth="36 cm", height="40 cm", zone="resident")  # fmt: skip
    yield _line(122, "10:20", "vessel", name="Fry tray", shape="box", length="60 cm",
                width="40 cm", depth="18 cm", height="25 cm", zone="fry")  # fmt: skip
    yield _line(122, "10:30", "vessel", name="North tub", shape="racetrack", length="152 cm",
                width="76 cm", floor_length="128 cm", floor_width="60 cm", depth="46 cm",
                height="50 cm", gravel="12 L", zone="quarantine")  # fmt: skip
    yield _line(122, "10:40", "vessel", name="Blue pool", shape="round",
                diameter="160 cm +/- 2 cm", depth="38 cm", height="45 cm",
                zone="quarantine")  # fmt: skip
    yield _line(122, "10:50", "vessel", name="Hospital box", shape="box", length="58 cm",
                width="38 cm", depth="20 cm", height="30 cm", zone="hospital")  # fmt: skip
    yield _line(122, "11:00", "group", name="Old reds", count="7", into="Long tank",
                variety="red ryukin", mass="95 g")  # fmt: skip
    yield _line(122, "11:05", "fish", name="Biscuit", into="Window tank",
                variety="calico oranda", mass="140 g")  # fmt: skip
    yield _line(122, "11:06", "fish", name="Juno", into="Window tank", variety="blue oranda",
                mass="120 g")  # fmt: skip
    yield _line(40, "18:00", "group", name="June fry", count="40", into="Fry tray", stage="fry",
                variety="ryukin")  # fmt: skip


def _water(
    first: int, last: int, vessel: str, temp: float, tan: tuple[float, ...]
) -> Iterator[Line]:
    for n, day in enumerate(range(first, last - 1, -2)):
        value = tan[min(n, len(tan) - 1)]
        swing = (n % 3 - 1) * 0.3
        yield _line(day, "08:05", "reading", subject=vessel, temp=f"{temp + swing:.1f} C",
                    ph=f"{7.6 + (n % 2) * 0.1:.1f}", kh="6 dKH", tan=f"{value} mg/L",
                    no2="0.05 mg/L as NO2", kit="drop kit")  # fmt: skip


def _lows_and_highs(first: int, last: int, vessel: str, cold: int) -> Iterator[Line]:
    """A thermometer that keeps both, read each morning; the night before `cold` was cool."""
    for day in range(first, last - 1, -1):
        low, high = ("17.0 C", "18.8 C") if day == cold else ("19.0 C", "20.0 C")
        when = "-00:55" if day == 0 else "07:45"
        yield _line(day, when, "reading", subject=vessel, temp_min=low, temp_max=high)


def _looks(first: int, last: int, vessel: str, at: str = "07:40") -> Iterator[Line]:
    for day in range(first, last - 1, -1):
        yield _line(day, at, "look", subject=vessel, appetite="all")


def _first_shipment() -> Iterator[Line]:
    """The shipment where all went well: into the Blue pool, released after 33 days."""
    yield _line(118, "10:20", "shipment", name="Alder box", delivered_ago="118 10:05",
                packed_ago="119 16:00", **{"from": "Alder Ponds"})  # fmt: skip
    yield _line(118, "10:30", "bag", box="Alder box", fish="4", alive="4", temp="18.5 C",
                ph="6.6", kh="4 dKH", tan="3 mg/L as N", volume="6 L")  # fmt: skip
    yield _line(118, "10:10", "reading", subject="Blue pool", temp="20.5 C", ph="7.6", kh="6 dKH",
                tan="0 mg/L as N")  # fmt: skip
    yield _line(118, "10:40", "acclimation", box="Alder box", chosen="float-and-lift",
                vessel="Blue pool")  # fmt: skip
    yield _line(118, "11:10", "group", name="Alders", count="4", box="Alder box", bag="1",
                into="Blue pool", variety="red-white ryukin", mass="60 g")  # fmt: skip
    yield _line(118, "11:15", "quarantine", system="Blue pool", plan="standard")
    yield from _looks(117, 86, "Blue pool")
    yield from _water(117, 86, "Blue pool", 20.6, (0.1, 0.1, 0.0))
    for day in (115, 104, 93):
        yield _line(day, "16:30", "slide", subject="Alders", **{"from": "skin-scrape"})
    yield _line(85, "09:00", "release", said="33 quiet days", subject="Blue pool",
                **{"pass": [f"{c}:no trouble in 33 days, vet told" for c in PASSED]})  # fmt: skip
    yield _line(85, "09:30", "move", said="released", subject="Alders", to="Long tank")


PASSED = ("mixing-test", "sign-free", "water", "slides", "warm-days", "eating", "since-treatment",
          "no-deaths")  # fmt: skip


def _second_shipment() -> Iterator[Line]:
    """The shipment with trouble: white spot on day 5, salt, a death, a helper's slip."""
    yield _line(74, "11:00", "shipment", name="Tidewell box", delivered_ago="74 10:30",
                packed_ago="75 09:00", **{"from": "Tidewell Fancy Fish"})  # fmt: skip
    yield _line(74, "11:00", "reading", subject="North tub", temp="19.8 C", ph="7.7", kh="6 dKH",
                tan="0 mg/L as N")  # fmt: skip
    yield _line(74, "11:05", "bag", box="Tidewell box", fish="3", alive="3", weak="1",
                temp="15.2 C", ph="6.3", kh="3 dKH", tan="6 mg/L as N", volume="5 L")  # fmt: skip
    yield _line(74, "11:10", "acclimation", box="Tidewell box", chosen="float-and-lift",
                vessel="North tub")  # fmt: skip
    yield _line(74, "11:55", "group", name="Tidewells", count="3", box="Tidewell box", bag="1",
                into="North tub", variety="black moor", mass="70 g")  # fmt: skip
    yield _line(74, "12:00", "quarantine", system="North tub", plan="standard")
    yield from _looks(73, 70, "North tub")
    yield from _water(73, 24, "North tub", 20.2, (0.25, 0.25, 0.1, 0.1, 0.0))
    yield _line(69, "07:40", "look", subject="North tub", sign=["white-grains:1", "rubbing:1"],
                affected="2", appetite="some")  # fmt: skip
    yield _line(69, "09:00", "slide", subject="Tidewells", found=["white-spot:3"],
                **{"from": "skin-scrape"})  # fmt: skip
    yield _line(69, "10:00", "dose", system="North tub", treatment="salt", course="stepped",
                amount="380 g", tool="kitchen scale", reason="white-spot on a slide")  # fmt: skip
    yield _line(69, "22:00", "dose", system="North tub", treatment="salt", course="stepped",
                amount="380 g", tool="kitchen scale", reason="white-spot on a slide")  # fmt: skip
    yield _line(68, "10:00", "dose", system="North tub", treatment="salt", course="stepped",
                amount="380 g", tool="kitchen scale", reason="white-spot on a slide")  # fmt: skip
    for day in (68, 67, 66):
        yield _line(day, "07:40", "look", subject="North tub", sign=["white-grains:2"],
                    affected="2", appetite="some")  # fmt: skip
    yield _line(66, "18:10", "death", subject="Tidewells", count="1")
    yield _line(65, "07:40", "look", subject="North tub", sign=["white-grains:1"], affected="1",
                appetite="some")  # fmt: skip
    yield _line(64, "19:00", "change", subject="North tub", percent="25")
    yield Line(64, "19:20", "given", {"system": "North tub", "treatment": "salt",
               "amount": "380 g"}, {"why": "a full scoop went in, not what the change took out"},
               HELPER)  # fmt: skip
    yield from _looks(64, 24, "North tub")
    yield _line(51, "18:00", "stop", system="North tub", treatment="salt")
    for day in (50, 40, 38, 36, 34):
        yield _line(day, "18:30", "change", subject="North tub", percent="40")
    for day in (49, 37, 28):
        yield _line(day, "16:30", "slide", subject="Tidewells", **{"from": "skin-scrape"})
    yield _line(23, "09:00", "release", said="no longer seen for six weeks", subject="North tub",
                **{"pass": [f"{c}:three clean slides, vet told" for c in PASSED]})  # fmt: skip
    yield _line(23, "09:20", "move", said="released", subject="Tidewells", to="Window tank")
    yield _line(22, "10:00", "change", subject="North tub", percent="90")


def _third_shipment() -> Iterator[Line]:
    """The one that is twelve days in."""
    yield _line(12, "10:40", "shipment", name="Maple box", delivered_ago="12 10:20",
                packed_ago="13 15:00", **{"from": "Maple Row Goldfish"})  # fmt: skip
    yield _line(12, "10:41", "reading", subject="Blue pool", temp="20.1 C", ph="7.6", kh="6 dKH",
                tan="0 mg/L as N")  # fmt: skip
    yield _line(12, "10:45", "bag", box="Maple box", fish="3", alive="3", temp="17 C", ph="6.5",
                kh="4 dKH", tan="4 mg/L as N", volume="5 L")  # fmt: skip
    yield _line(12, "10:50", "acclimation", box="Maple box", chosen="float-and-lift",
                vessel="Blue pool")  # fmt: skip
    for name, variety, mass in (("Ash", "blue ranchu", "80 g"), ("Brick", "red ranchu", "92 g"),
                                ("Coal", "black moor", "86 g")):  # fmt: skip
        yield _line(12, "11:30", "fish", name=name, variety=variety, mass=mass, box="Maple box",
                    bag="1", into="Blue pool")  # fmt: skip
    yield _line(12, "11:35", "quarantine", system="Blue pool", plan="standard")
    yield _line(11, "09:00", "dose", system="Blue pool", treatment="salt", amount="760 g",
                tool="kitchen scale", reason="support after transport")  # fmt: skip
    yield from _looks(11, 4, "Blue pool")
    yield from _water(11, 1, "Blue pool", 19.6, (0.25, 0.1, 0.1))
    yield from _lows_and_highs(11, 0, "Blue pool", cold=5)
    yield _line(9, "16:30", "slide", subject="Brick", **{"from": "skin-scrape"})
    for day, grade in ((3, 1), (2, 2), (1, 1)):
        yield _line(day, "07:40", "look", subject="Blue pool", appetite="all")
        yield _line(day, "18:40", "look", subject="Coal", sign=[f"clamped-fins:{grade}"],
                    appetite="some")  # fmt: skip
    yield _line(3, "19:00", "reading", subject="tap", temp="12 C", ph="7.9", kh="7 dKH",
                gh="9 dGH", chlorine="0.3 mg/L")  # fmt: skip
    yield _line(1, "19:30", "change", subject="Blue pool", volume="60 L")
    for day in range(10, 0, -1):
        yield _line(day, "18:05", "feed", vessel="Blue pool", amount="1.5 g", protein="36 %",
                    eaten="all")  # fmt: skip
    yield _line(2, "19:00", "done", task="Blue pool/*/sponge-squeeze/1")


def _residents() -> Iterator[Line]:
    for day in range(14, 0, -1):
        yield _line(day, "07:20", "look", subject="Long tank", appetite="all")
        yield _line(day, "07:25", "look", subject="Window tank", appetite="all")
        yield _line(day, "07:30", "look", subject="Fry tray")
    yield _line(1, "07:31", "death", subject="June fry", count="1")
    for day in (13, 6):
        yield from _water(day, day, "Long tank", 19.0, (0.0,))
        yield from _water(day, day, "Window tank", 19.2, (0.0,))


def _today() -> Iterator[Line]:
    """A box has just landed; nothing of it is opened yet."""
    yield _line(5, "18:00", "quarantine", system="North tub", plan="standard", expected_ago="0")
    for step, day in (("ready-vessel", 5), ("ready-tools", 4), ("ready-papers", 4)):
        yield _line(day, "19:00", "done", task=f"North tub/*/{step}/1")
    yield _line(1, "20:05", "done", task="North tub/*/ready-water/1")
    for resident in ("Long tank", "Window tank", "Fry tray"):
        yield _line(1, "20:10", "level", vessel=resident, at_mark=True)
    yield _line(0, "-00:45", "level", vessel="North tub", at_mark=True)
    yield _line(1, "20:00", "reading", subject="North tub", temp="19.4 C", ph="7.8", kh="6 dKH",
                tan="0 mg/L", kit="drop kit")  # fmt: skip
    yield _line(0, "-00:40", "shipment", name="Box 14", delivered_ago="0 -00:50",
                packed_ago="1 -02:00", **{"from": "Hollin Fancies"})  # fmt: skip
    yield _line(0, "-00:30", "bag", box="Box 14", fish="3", photo="pictures/box-14-bag-1.jpg")
    yield _line(0, "-00:30", "bag", box="Box 14", fish="2", photo="pictures/box-14-bag-2.jpg")
    yield _line(0, "-00:20", "reading", subject="North tub", temp="19.4 C", ph="7.8", kh="6 dKH",
                tan="0 mg/L", kit="drop kit")  # fmt: skip


def lines() -> list[Line]:
    """The whole story, in the order it happened."""
    every = [
        *_setting_up(),
        *_first_shipment(),
        *_second_shipment(),
        *_third_shipment(),
        *_residents(),
        *_today(),
    ]
    return sorted(every, key=lambda x: (-x.days_ago, x.at.startswith("-"), _order(x.at)))


def _order(at: str) -> tuple[int, str]:
    """Clock times in order; minutes before now ("-00:40") the earlier the larger they are."""
    if at.startswith("-"):
        hours, minutes = at[1:].split(":")
        return -(int(hours) * 60 + int(minutes)), at
    return 0, at
