"""A sample shipment: one bag at each step of the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from intake.drawing.run_chart import Panel
from intake.flows.views.parts import Bar, Shown
from intake.flows.views.receive import (
    BagLine,
    BagQuestion,
    Cell,
    Compared,
    Doubt,
    Method,
    ReceiveList,
    ReceiveView,
    Run,
    RunStep,
)

BAGS = ReceiveList(
    shipments=(("Box 14", "from A. Breeder, delivered 17:40"),),
    bags=(
        BagLine("Box 14", 1, "4 fish", "settled", "in North tub since 18:02"),
        BagLine("Box 14", 2, "3 fish", "choose", "NH3 once opened 1.2 times the limit"),
        BagLine("Box 14", 3, "3 fish", "open", "still shut"),
    ),
    claims=("Box 14: claim a loss by 19:40",),
)


def _curve(top: float, minutes: int) -> tuple[tuple[float, float], ...]:
    return tuple((m, top * (1 - 0.96**m)) for m in range(0, minutes + 1, 3))


METHODS = (
    Method(
        "A",
        "float-and-lift",
        "float, lift",
        True,
        Cell("0.011"),
        Cell("0.006"),
        Cell("6.1"),
        Cell("1.4 at once", "care"),
        Cell("45"),
        ("ph-step",),
        (),
        ("air at 420 uatm",),
        "opened bag water climbs to pH 7.7 in 20 min and a drip holds the fish in it; shut, "
        "then lifted, they skip it. The pH step is the lesser harm.",
        _curve(0.011, 45),
    ),
    Method(
        "B",
        "drip",
        "drip",
        False,
        Cell("0.083", "stop"),
        Cell("0.071"),
        Cell("4.6"),
        Cell("1.1 per h"),
        Cell("60"),
        ("nh3-peak",),
        (),
        (),
        "the drip keeps them in it.",
        _curve(0.083, 78),
    ),
    Method(
        "C",
        "drip-with-binder",
        "drip, binder",
        False,
        Cell("0.017"),
        Cell("0.012"),
        Cell("4.6"),
        Cell("1.1 per h"),
        Cell("65"),
        (),
        (),
        (),
        "the binder halves it.",
        _curve(0.017, 78),
    ),
    Method(
        "D",
        "match-water",
        "match, lift",
        False,
        Cell("0.010"),
        Cell("0.004"),
        Cell("2.0"),
        Cell("0.2 at once"),
        Cell("95"),
        (),
        (),
        (),
        "slow, and it needs a second tub.",
        _curve(0.010, 90),
    ),
)

QUESTIONS = (
    BagQuestion("hours", "hours packed", "duration", text="24 h", shown=Shown("24", "h")),
    BagQuestion(
        "temp", "temperature of the bag", "temperature", text="14.8 C", shown=Shown("14.8", "C")
    ),
    BagQuestion(
        "ph",
        "pH of the bag",
        "ph",
        text="?",
        shown=Shown("?"),
        assumed="6.2 to 6.8, from 24 h packed",
    ),
    BagQuestion(
        "tan", "TAN of the bag", "tan", "N", hint="keep it shut; take 20 mL through the neck"
    ),
)

LEVELS = (
    Bar("shut, now", Shown("0.003"), 0.003, 0.003, 0.003, 0.05, "under"),
    Bar("once opened", Shown("0.062"), 0.062, 0.062, 0.062, 0.05, "1.2 times limit", over=True),
    Bar("worst mixture", Shown("0.083"), 0.083, 0.083, 0.083, 0.05, "1.7 at 60 % tub", over=True),
)

CHOOSE = ReceiveView(
    shipment="Box 14",
    box="Box 14",
    bag=2,
    bags=5,
    fish="3 fish",
    packed="24 h",
    vessel="North tub",
    step="choose",
    questions=QUESTIONS,
    compared=(
        Compared("temperature", Shown("14.8", "C"), Shown("19.4", "C"), "tub 4.6 C warmer"),
        Compared("pH", Shown("6.4"), Shown("7.8"), "tub 1.4 higher; KH 3 and 6 dKH"),
        Compared("TAN", Shown("4.2", "mg/L"), Shown("0.1", "mg/L"), "bag 42 times more"),
        Compared("KH", Shown("3", "dKH"), Shown("6", "dKH"), "", roomy=True),
    ),
    nh3_unit="mg/L",
    nh3_limit=0.05,
    levels=LEVELS,
    methods=METHODS,
    doubts=(Doubt("pH of the bag", "6.2 to 6.8", "a reading could halve the peak", "ph"),),
    reasons=(("fragile", "weak fish"), ("time", "no time for it")),
    run=None,
    because="a limit is judged at the end that harms.",
)

MINUTES = range(0, 50, 3)


def _line(of: Callable[[int], float]) -> tuple[tuple[float, float], ...]:
    return tuple((float(m), of(m)) for m in MINUTES)


PANELS = (
    Panel(
        "temperature", "C", _line(lambda m: 19.4 - 4.6 * 0.97**m),
        _line(lambda m: 19.4 - 4.6 * 0.975**m), _line(lambda m: 19.4 - 4.6 * 0.965**m),
        _line(lambda m: 19.4 - 4.6 * 0.96**m), ((14.0, 15.9), (28.0, 17.2)), now=30.0,
    ),
    Panel(
        "pH", "", _line(lambda m: 6.4 + m / 60), _line(lambda m: 6.3 + m / 70),
        _line(lambda m: 6.5 + m / 40), measured=((15.0, 6.6),), now=30.0,
    ),
    Panel(
        "NH3", "mg/L as N", _line(lambda m: 0.003 + m / 1200), _line(lambda m: 0.002 + m / 2000),
        _line(lambda m: 0.004 + m / 800), limit=0.05, now=30.0, from_zero=True,
    ),
)  # fmt: skip

RUN = replace(
    CHOOSE,
    step="run",
    run=Run(
        minutes=27,
        minutes_low=24,
        minutes_high=31,
        to_what="to the lift",
        ends="19:09",
        lines=("bag 17.2 C, tub 19.4 C, aim within 1 C",),
        steps=(
            RunStep(1, "air on, lights low", "done", "18:20"),
            RunStep(2, "float the bag shut", "now", "18:24", "19:09", 0.4),
            RunStep(3, "lift across, no bag water into the tub", "later"),
            RunStep(4, "bag water to foul waste, wash bowl, hands", "later"),
        ),
        checks=(
            ("18:38", "16.1", "15.9", "as foretold"),
            ("18:52", "17.9", "17.2", "slower: end moved 19:04 to 19:09"),
            ("NH3 met", "0.003", "?", "ask: not needed while the bag is shut"),
        ),
        panels=PANELS,
        holding=False,
        next_reading="next reading in 4 min: bag temperature",
        asks=None,
        because="the box is foam-lined and the bag is big: 22 min per half of the gap.",
    ),
)

READ = replace(CHOOSE, step="read", bag=3)
SETTLE = replace(CHOOSE, step="settle", because="the fish are across; count them once more.")
