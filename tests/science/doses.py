"""Treatments, waters and requests built by hand for the checks of the dose core."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from intake.science.conditions import Reading
from intake.science.course_parts import Source
from intake.science.dose import DoseRequest, WaterVolume
from intake.science.treatment import (
    Bound,
    Condition,
    Course,
    DoseStep,
    Handling,
    Interval,
    NeverMix,
    Repeat,
    Strength,
    Treatment,
)

D = Decimal
NOW = datetime(2026, 11, 25, 18, 40, tzinfo=UTC)
READ = Source("a source", "published")
REMEMBERED = Source("remembered", "from memory")


def ago(hours: float) -> datetime:
    return NOW - timedelta(hours=hours)


def litres(volume: str, low: str | None = None, high: str | None = None) -> WaterVolume:
    return WaterVolume(D(volume), D(low or volume), D(high or volume))


def reading(value: str, hours: float = 1.0, half: str = "0", how: str = "measured") -> Reading:
    return Reading(D(value), D(value) - D(half), D(value) + D(half), ago(hours), how)


def bound(value: str, unit: str, **more: object) -> Bound:
    made = Bound(D(value), unit, READ)
    for name, given in more.items():
        object.__setattr__(made, name, given)
    return made


def salt() -> Treatment:
    support = Course(
        name="support",
        route="prolonged",
        unit="g/L",
        low=D(1),
        usual=D(2),
        high=D(3),
        sources=(READ,),
        bounds=(bound("5", "g/L"),),
        stages=("fry", "juvenile", "adult"),
    )
    stepped = Course(
        name="stepped",
        route="prolonged",
        unit="g/L",
        low=D(3),
        usual=D(3),
        high=D(5),
        sources=(READ,),
        bounds=(bound("5", "g/L"),),
        steps=tuple(DoseStep(D(n), D(12 * (n - 1))) for n in range(1, 6)),
    )
    return _treatment(
        "salt",
        basis="product-mass",
        strengths=(Strength("dry salt", D(100), "% w/w", D(1), "powder", usual=True),),
        margin="wide",
        courses=(support, stepped),
        solubility_g_l=D(350),
    )


def praziquantel() -> Treatment:
    bath = Course(
        name="long-bath",
        route="prolonged",
        unit="mg/L",
        low=D(2),
        usual=D(2),
        high=D(5),
        sources=(READ, REMEMBERED),
        bounds=(bound("6", "mg/L"),),
        repeat=Repeat(D(168), 2, READ),
        interval=Interval(D(96), D(168), READ),
        before=("carbon out, UV off, air on",),
        stop_signs=("rolling",),
    )
    feed = Course(
        name="feed",
        route="feed",
        unit="mg/kg/d",
        low=D(50),
        usual=D(50),
        high=D(75),
        sources=(READ,),
        bounds=(bound("75", "mg/kg/d"),),
    )
    return _treatment(
        "praziquantel",
        basis="active",
        strengths=(Strength("powder", D(100), "% w/w", D(1), "powder", usual=True),),
        margin="narrow",
        courses=(bath, feed),
        solubility_g_l=D("0.1"),
        crowded_over_g_l=D(60),
    )


def formalin() -> Treatment:
    oxygen = Condition("oxygen", D(5), None, "mg/L", "measured", D(24), READ)
    temp = Condition("temp", None, D("26.7"), "C", "measured", D(24), READ)
    long_bath = Course(
        name="long-bath",
        route="prolonged",
        unit="uL/L",
        low=D(15),
        usual=D(15),
        high=D(20),
        sources=(READ,),
        bounds=(bound("25", "uL/L"),),
        conditions=(oxygen, temp),
        interval=Interval(D(24), D(48), READ),
    )
    short_bath = Course(
        name="short-bath",
        route="bath",
        unit="uL/L",
        low=D(100),
        usual=D(120),
        high=D(200),
        sources=(READ,),
        bounds=(bound("250", "uL/L"), bound("150", "uL/L", above=D(21))),
        duration_min_h=D("0.5"),
        duration_max_h=D(1),
    )
    return _treatment(
        "formalin",
        basis="product-volume",
        strengths=(
            Strength("37 % by weight", D(37), "% w/w", D(1), "liquid", usual=True),
            Strength("40 % by volume", D(40), "% w/v", D(1), "liquid"),
        ),
        margin="narrow",
        courses=(long_bath, short_bath),
        always_warn=(("test-fish-first", "goldfish differ: one fish first"),),
    )


def peroxide() -> Treatment:
    bath = Course(
        name="bath",
        route="bath",
        unit="mg/L",
        low=D(10),
        usual=D(20),
        high=D(30),
        sources=(READ,),
        bounds=(bound("34", "mg/L"),),
        duration_max_h=D(1),
    )
    return _treatment(
        "hydrogen-peroxide",
        basis="active",
        strengths=(
            Strength("3 %", D(3), "% w/v", D("0.03"), "liquid", usual=True),
            Strength("35 %", D(35), "% w/w", D("0.35"), "liquid", density_g_ml=D("1.1317")),
        ),
        margin="narrow",
        courses=(bath,),
    )


def _treatment(
    name: str,
    *,
    basis: str,
    strengths: tuple[Strength, ...],
    margin: str,
    courses: tuple[Course, ...],
    solubility_g_l: Decimal | None = None,
    crowded_over_g_l: Decimal | None = None,
    always_warn: tuple[tuple[str, str], ...] = (),
) -> Treatment:
    return Treatment(
        id=name,
        title=name.capitalize(),
        version="1",
        status="common practice",
        counts="treatment",
        basis=basis,
        strengths=strengths,
        from_label=False,
        after_change="replace",
        residue_end="low",
        margin=margin,
        courses=courses,
        cautions=("Label and vet first.",),
        handling=tuple(
            Handling(s.form, "Danger", ("harmful",), ("gloves",), "locked away", READ)
            for s in strengths
        ),
        solubility_g_l=solubility_g_l,
        crowded_over_g_l=crowded_over_g_l,
        always_warn=always_warn,
        path=f"treatments/{name}.yaml",
        sha256="0" * 64,
    )


NEVER = (
    NeverMix("formalin", "potassium-permanganate", "may explode", READ, D(4), hard=True),
    NeverMix("formalin", "salt", "sources disagree", READ, D(0), hard=False),
)

BREATHABLE = {"oxygen": reading("7"), "temp": reading("19")}


def ask(treatment: Treatment, **more: object) -> DoseRequest:
    request = DoseRequest(treatment, NOW, volume=litres("310"))
    for name, given in more.items():
        object.__setattr__(request, name, given)
    return request
