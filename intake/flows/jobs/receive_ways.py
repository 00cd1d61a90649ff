"""The two waters and the ways across side by side, as screens show them."""

from __future__ import annotations

from dataclasses import replace

from intake.flows.crossing import bag_reading, vessel_reading, worked_out
from intake.flows.desk import Book
from intake.flows.facts.things import Box, Vessel
from intake.flows.jobs.receive_bag import OnHand
from intake.flows.views.parts import Bar, Shown
from intake.flows.views.receive import Cell, Doubt, Method
from intake.science.acclimation import Acclimation, nh3_opened_n_mg_l
from intake.science.acclimation_doubt import most_useful, open_readings
from intake.science.acclimation_gaps import fill_gaps
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_options import Option
from intake.science.acclimation_readings import BagReading, Known, VesselReading
from intake.science.figures import figure
from intake.science.problem import Problem, Refused
from intake.science.show import show, show_range

NH3_UNIT = "mg/L as N"
TITLES = {
    "float-and-lift": "float, lift",
    "drip": "drip",
    "drip-with-binder": "drip, binder",
    "match-water": "match, lift",
}
LETTERS = "ABCD"
CELL = 11
"""Letters a figure has room for in a column on the narrowest full screen."""
NEAR = 0.8
"""Share of a limit from which a bar is called near it. Common practice."""
ASSUMED = {
    "bag temperature not read": ("temp", "bag temperature"),
    "bag pH not read": ("ph", "bag pH"),
    "bag KH not read": ("kh", "bag KH"),
    "bag TAN not read": ("tan", "bag TAN"),
    "bag water not measured": ("volume", "water in the bag"),
    "hours packed not known": ("hours", "hours packed"),
    "fish not weighed or counted": ("fish", "fish in the bag"),
    "fish not weighed": ("", "mass of the fish"),
    "bag salt not read": ("", "bag salt"),
    "vessel temperature not read": ("", "vessel temperature"),
    "vessel pH not read": ("", "vessel pH"),
    "vessel KH not read": ("", "vessel KH"),
    "vessel TAN not read": ("", "vessel TAN"),
    "vessel salt not read": ("", "vessel salt"),
}
"""What was taken for granted, by how it is said: the question that ends it, and its name."""
WOULD = {
    "mass of the fish": "weighed fish tell what the water gained since it was packed",
    "bag salt": "a reading shows the salt step at the change of water",
    "vessel TAN": "a reading shows what ammonia waits for them",
    "vessel salt": "a reading shows the salt step at the change of water",
    "hours packed": "known hours tell how much ammonia and CO2 the bag gained",
}
"""What measuring would show, where it is not a range of NH3."""
WORDS = {
    "nh3-peak": "NH3 over the limit",
    "nh3-exposure": "too long in NH3",
    "temperature-rate": "temperature moves too fast",
    "temperature-step": "temperature step too wide",
    "ph-step": "pH step too wide",
    "ph-rate": "pH moves too fast",
    "salt-step": "salt step too wide",
}


def side_by_side(book: Book, it: OnHand, vessel: Vessel) -> Acclimation | Problem:
    """The ways across, or why they cannot be compared."""
    assert it.box is not None
    try:
        return worked_out(book, it.box, it.bag, vessel)
    except Refused as no_such:
        return Problem(no_such.code, no_such.text, no_such.way_out)


def gaps(book: Book, box: Box, it: OnHand, vessel: Vessel) -> Known | Problem:
    """The readings of bag and vessel with what stands in for those that are missing."""
    try:
        return fill_gaps(bag_reading(book, box, it.bag), vessel_reading(book, vessel))
    except Refused as no_such:
        return Problem(no_such.code, no_such.text, no_such.way_out)


def assumed_texts(known: Known) -> dict[str, str]:
    """By question, what stands in for "?"."""
    found = {}
    for text in known.assumed:
        start, _, what = text.partition(": ")
        field = ASSUMED.get(start, ("", ""))[0]
        if field:
            found[field] = what
    return found


def levels(a: Acclimation, limit: float) -> tuple[Bar, ...]:
    """NH3 shut, once opened (to the vessel's CO2 at least, to open air at most), and mixed."""
    opened_low = min(a.nh3_likely_n_mg_l_low, a.nh3_opened_n_mg_l_low)
    worst = a.worst_blend
    share = f"at {worst.share * 100:.0f} % vessel" if worst.share > 0 else "unmixed"
    return (
        _bar("shut, now", a.nh3_now_n_mg_l, a.nh3_now_n_mg_l_low, a.nh3_now_n_mg_l_high, limit),
        _bar("once opened", a.nh3_opened_n_mg_l, opened_low, a.nh3_opened_n_mg_l_high, limit),
        _bar("worst mixture", worst.nh3_n_mg_l, worst.nh3_n_mg_l_low, worst.nh3_n_mg_l_high,
             limit, share),
    )  # fmt: skip


def _bar(label: str, value: float, low: float, high: float, limit: float, at: str = "") -> Bar:
    over = high > limit
    times = show(high / limit, "", digits=2)
    said = "under"
    if over:
        said = f"{times} {at}" if at else f"{times} times limit"
    return Bar(
        label, Shown(span_text(value, low, high), NH3_UNIT, "worked out"), value, low, high,
        limit, said, over=over, near=not over and high >= NEAR * limit,
    )  # fmt: skip


def span_text(value: float, low: float, high: float) -> str:
    """A figure, or its two ends where they differ as shown."""
    first, last = show(low, "", digits=2), show(high, "", digits=2)
    if first == last:
        return show(value, "", digits=2)
    return show_range(low, high, "", digits=2)


def _cell(value: float, high: float) -> str:
    """A figure, or the end that harms where the readings leave a range: a column is narrow."""
    likely, most = show(value, "", digits=2), show(high, "", digits=2)
    said = f"up to {most}"
    return likely if likely == most else said if len(said) <= CELL else f"to {most}"


def methods(a: Acclimation, limits: AcclimationLimits) -> tuple[Method, ...]:
    """The four ways, lettered."""
    return tuple(
        _method(letter, option, a, limits)
        for letter, option in zip(LETTERS, a.options, strict=True)
    )


def _method(letter: str, o: Option, a: Acclimation, limits: AcclimationLimits) -> Method:
    drip = o.name.startswith("drip")
    ph = f"{o.fastest_ph_per_h:.1f} per h" if drip else f"{abs(o.ph_step):.1f} at once"
    temp_care = {"temperature-rate", "temperature-step"} & set(o.breaks)
    ph_care = {"ph-step", "ph-rate"} & set(o.breaks)
    return Method(
        letter,
        o.name,
        TITLES[o.name],
        best=o.name == a.choice,
        peak=Cell(
            _cell(o.peak_nh3_n_mg_l, o.peak_nh3_n_mg_l_high),
            "stop" if "nh3-peak" in o.breaks else "",
        ),
        exposure=Cell(
            _cell(o.exposure_mg_h_l, o.exposure_mg_h_l_high),
            "stop" if "nh3-exposure" in o.breaks else "",
        ),
        warming=Cell(f"{o.fastest_temp_c_per_h:.1f}", "care" if temp_care else ""),
        ph=Cell(ph, "care" if ph_care else ""),
        minutes=Cell(str(o.minutes), "" if o.possible else "stop"),
        breaks=o.breaks,
        steps=o.steps,
        assumes=o.assumes,
        because=_because(o, a, limits),
        curve=tuple((float(m.minute), m.water.nh3_n_mg_l) for m in o.curve),
    )


def _because(o: Option, a: Acclimation, limits: AcclimationLimits) -> str:
    if o.name == a.choice:
        return " ".join(a.reason.split())
    if not o.possible:
        return o.steps[0]
    if not o.breaks:
        return f"nothing is broken, but: {a.reason}"
    first = ", ".join(WORDS[code] for code in o.breaks[:3])
    peak = show(o.peak_nh3_n_mg_l_high, "", digits=2)
    return (
        f"{first}. NH3 up to {peak} mg/L as N on the way, limit {figure(limits.nh3_peak_n_mg_l)};"
        f" {o.minutes} min."
    )


def doubts(bag: BagReading, vessel: VesselReading, known: Known) -> tuple[Doubt, ...]:
    """What was taken for granted, and how far measuring it would narrow the opened bag's NH3.

    What would narrow it most comes first.
    """
    before = _opened(known)
    useful = most_useful(bag, vessel, known, nh3_opened_n_mg_l)
    first = "" if useful is None else useful.reading
    measured = {
        **open_readings(bag, vessel, known.nominal),
        "water in the bag": (replace(bag, volume_l=known.volume_l), vessel),
        "fish in the bag": (replace(bag, fish_mass_g=known.fish_mass_kg * 1000), vessel),
    }
    found = []
    for text in known.assumed:
        start, _, taken = text.partition(": ")
        field, what = ASSUMED.get(start, ("", text))
        change = WOULD.get(what, "")
        if what in measured:
            change = _change(*measured[what], before)
        lead = "most useful: " if what == first else ""
        found.append(Doubt(what, taken, f"{lead}{change}", field))
    return tuple(sorted(found, key=lambda d: d.what != first))


def _opened(known: Known) -> str:
    every = [nh3_opened_n_mg_l(pair) for pair in known.pairs]
    return show_range(min(every), max(every), "mg/L")


def _change(bag: BagReading, vessel: VesselReading, before: str) -> str:
    after = _opened(fill_gaps(bag, vessel))
    if after == before:
        return "little: other doubts are wider"
    return f"NH3 once opened {after} instead of {before}, if it reads as expected"
