"""How temperature drives a parasite's life, and when a treatment against it has to be repeated."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import ceil, exp, floor

from intake.science.figures import figure
from intake.science.problem import Refused

WAIT_GENERATIONS = 1.5
"""Generations of the parasite to wait after the last treatment. Common practice."""


@dataclass(frozen=True, slots=True)
class DoseWindow:
    """One repeat, given from `from_day` to `to_day`, counted from the first treatment [d]."""

    from_day: int
    to_day: int
    because: str


@dataclass(frozen=True, slots=True)
class Repeats:
    """The repeats after a first treatment, a look for the parasite on `look_day` [d], and why.

    `extra` says that no single day suits, so that one treatment more is given.
    """

    windows: tuple[DoseWindow, ...]
    look_day: int
    source: str
    mark: str
    extra: bool = False


@dataclass(frozen=True, slots=True)
class Life:
    """A parasite's times [d] at one temperature [C], each inside `low_c` to `high_c` only.

    `last_hatch` is when the last egg present has hatched, `first_layer` when the first new worm
    may lay, `generation` the longest full cycle.
    """

    low_c: float
    high_c: float
    last_hatch: Callable[[float], float]
    first_layer: Callable[[float], float]
    generation: Callable[[float], float]
    source: str
    mark: str
    outside: str


def development_days(degree_days: float, from_c: float, daily_c: Iterable[float]) -> int | None:
    """The day on which daily means above `from_c` have added up to `degree_days`.

    Parameters
    ----------
    degree_days
        What has to be reached [C d], 0 or more.
    from_c
        The temperature below which nothing develops [C].
    daily_c
        Daily mean temperatures [C] from the first day on.

    Returns
    -------
    int or None
        1 for the first day; None while the days given do not suffice. A cold day adds nothing and
        takes nothing away: cold pauses the eggs and never kills them (Zhang et al. 2021, preprint
        doi 10.21203/rs.3.rs-560786/v1).

    >>> development_days(83, 8.1, [20.0] * 10)
    7
    """
    added = 0.0
    for day, mean_c in enumerate(daily_c, start=1):
        added += max(0.0, mean_c - from_c)
        # Seven days of 11.9 add up to a hair under 83.3 in binary; a hair is no day.
        if added >= degree_days * (1 - 1e-9):
            return day
    return None


def _above(degree_days: float, from_c: float) -> Callable[[float], float]:
    def days(temp_c: float) -> float:
        return degree_days / (temp_c - from_c)

    return days


def _louse_hatch(temp_c: float) -> float:
    """The later of the two fits to the same hatching data."""
    return max(239 / (temp_c - 11.1), 61 * exp(-0.0904 * (temp_c - 15)))


def _louse_cycle(temp_c: float) -> float:
    return _louse_hatch(temp_c) + 371 / (temp_c - 10.7)


EGG_LAYERS: Mapping[str, Life] = {
    "gill-flukes": Life(
        10,
        30,
        _above(83, 8.1),
        _above(95, 8.1),
        _above(131, 8.1),
        "degree-days from Zhang et al. 2015, Acta Hydrobiol Sin 39(6):1177, Dactylogyrus vastator:"
        " second treatment a week later and egg to adult in 8 to 11 days at 20 C",
        "published",
        "the eggs only wait in the cold and hatch when it warms: look again above 10 C",
    ),
    "fish-louse": Life(
        15,
        30,
        _louse_hatch,
        _above(371, 10.7),
        _louse_cycle,
        "fits to Shafir & Van As 1986, J Zool, Argulus japonicus eggs: 61 d at 15 C, 10 d at 35 C;"
        " hatching to maturity 26 d at 25 C, 40 d at 20 C (Izumi animal hospital)",
        "published",
        "eggs outlast the cold: look again above 15 C",
    ),
}
"""Parasites whose eggs no treatment reaches, by id."""

WHITE_SPOT_LOW_C, WHITE_SPOT_HIGH_C = 10.0, 28.0
"""Where the fit of the white-spot cycle holds [C]. At 7 C fish carried it for about 20 days."""

WHITE_SPOT_DAILY_C = 16.0
"""From here on the capsules divide within a day [C]. Source: Bull Jpn Soc Sci Fish 3(5):265."""

ANCHOR_LOW_C, ANCHOR_WARM_C = 15.0, 26.0
"""Below the first anchor worms are arrested, from the second on their cycle was measured [C]."""

SKIN_FLUKE_LOW_C, SKIN_FLUKE_HIGH_C = 2.5, 30.0
"""Where skin flukes were followed [C]. Source: Jansen & Bakke 1991, Parasitology 102:105."""

PARASITES = ("white-spot", "gill-flukes", "skin-flukes", "fish-louse", "anchor-worm")


def repeats(parasite: str, low_c: float, high_c: float) -> Repeats:
    """When a first treatment has to be repeated at nights of `low_c` and days of `high_c`.

    Parameters
    ----------
    parasite
        One of `PARASITES`. Where it is only known to be a fluke, take gill-flukes: the rule for
        egg-layers is the longer one.
    low_c, high_c
        Lowest and highest water temperature [C]. The last egg hatches by the low one, the first
        new worm lays by the high one.

    Raises
    ------
    Refused
        ``not-in-range`` where nothing was measured at these temperatures; nothing is guessed.
    ValueError
        An unknown parasite, or a low above the high.

    >>> [(w.from_day, w.to_day) for w in repeats("gill-flukes", 20, 20).windows]
    [(7, 7), (14, 14)]
    """
    if parasite not in PARASITES or low_c > high_c:
        raise ValueError(f"{parasite} from {low_c} to {high_c} C")
    if parasite in EGG_LAYERS:
        return _egg_layer(parasite, EGG_LAYERS[parasite], low_c, high_c)
    return _OTHERS[parasite](low_c, high_c)


def wait_days(parasite: str, low_c: float) -> int:
    """Days to wait after the last treatment: one and a half generations at the low temperature.

    Raises
    ------
    Refused
        ``not-in-range`` outside the temperatures at which the cycle was measured.

    >>> wait_days("white-spot", 20)
    13
    """
    return ceil(round(WAIT_GENERATIONS * _generation(parasite, low_c), 9))


def _generation(parasite: str, low_c: float) -> float:
    if parasite in EGG_LAYERS:
        life = EGG_LAYERS[parasite]
        _inside(parasite, low_c, low_c, life.low_c, life.high_c, life.outside)
        return life.generation(low_c)
    if parasite == "white-spot":
        _white_spot_inside(low_c, low_c)
        return 109 / (low_c - 6.9)
    if parasite == "anchor-worm":
        _anchor_inside(low_c, low_c)
        return 25 if low_c >= ANCHOR_WARM_C else 40
    if parasite == "skin-flukes":
        _skin_inside(low_c, low_c)
        return 7
    raise ValueError(parasite)


def _egg_layer(parasite: str, life: Life, low_c: float, high_c: float) -> Repeats:
    _inside(parasite, low_c, high_c, life.low_c, life.high_c, life.outside)
    hatched = max(1, ceil(round(life.last_hatch(low_c), 9)))
    lays = max(1, floor(round(life.first_layer(high_c), 9)))
    because = f"the last egg has hatched by day {hatched} at {figure(low_c)} C"
    because += f", the first new one may lay from day {lays + 1} at {figure(high_c)} C"
    if hatched <= lays:
        first = [(hatched, lays)]
    else:
        count = ceil(hatched / lays)
        first = [(min(n * lays, max(hatched, lays)), n * lays) for n in range(1, count + 1)]
    last = first[-1]
    more = [] if parasite != "gill-flukes" or len(first) > 1 else [(2 * last[0], 2 * last[1])]
    windows = tuple(DoseWindow(a, b, because) for a, b in (*first, *more))
    look = windows[-1].to_day + hatched
    return Repeats(windows, look, life.source, life.mark, len(first) > 1)


def _white_spot(low_c: float, high_c: float) -> Repeats:
    _white_spot_inside(low_c, high_c)
    every = 1 if high_c >= WHITE_SPOT_DAILY_C else 2
    last = ceil(round(1.5 * 109 / (low_c - 6.9), 9))
    because = f"only free swimmers are killed; every {every} d, cycle and a half is {last} d"
    because += f" at {figure(low_c)} C"
    days = range(every, last + every, every)
    windows = tuple(DoseWindow(n, n, because) for n in days)
    source = "cycle fit 109 / (t - 6.9) d from 35 d at 10 C and 6 d at 25 C, from memory;"
    source += " capsules within a day from 16.2 C, Bull Jpn Soc Sci Fish 3(5):265"
    return Repeats(windows, days[-1] + 7, source, "from memory")


def _skin_flukes(low_c: float, high_c: float) -> Repeats:
    _skin_inside(low_c, high_c)
    source = "no egg stage: one treatment that works, and a slide a week later; common practice"
    return Repeats((), 7, source, "common practice")


def _anchor_worm(low_c: float, high_c: float) -> Repeats:
    _anchor_inside(low_c, high_c)
    weeks = 5 if low_c >= ANCHOR_WARM_C else 6
    because = "a female sheds larvae for weeks; only larvae are reached"
    windows = tuple(DoseWindow(7 * n, 7 * n, because) for n in range(1, weeks))
    source = "weekly treatments cleared an aquarium (Shariff); egg to adult 18 to 25 d at 26 to"
    source += " 30 C (Steckler & Yanong 2012), 25 to 40 d at 20 to 26 C from memory"
    mark = "published" if low_c >= ANCHOR_WARM_C else "from memory"
    return Repeats(windows, 7 * weeks, source, mark)


_OTHERS: Mapping[str, Callable[[float, float], Repeats]] = {
    "white-spot": _white_spot,
    "skin-flukes": _skin_flukes,
    "anchor-worm": _anchor_worm,
}


def _white_spot_inside(low_c: float, high_c: float) -> None:
    way_out = "below 10 C it stays on the fish for about three weeks or more: warm slowly, or wait"
    _inside("white-spot", low_c, high_c, WHITE_SPOT_LOW_C, WHITE_SPOT_HIGH_C, way_out)


def _anchor_inside(low_c: float, high_c: float) -> None:
    way_out = "below 15 C the worms are arrested, not gone: look again when the water passes 15 C"
    _inside("anchor-worm", low_c, high_c, ANCHOR_LOW_C, 30.0, way_out)


def _skin_inside(low_c: float, high_c: float) -> None:
    way_out = "nothing was measured there"
    _inside("skin-flukes", low_c, high_c, SKIN_FLUKE_LOW_C, SKIN_FLUKE_HIGH_C, way_out)


def _inside(
    parasite: str, low_c: float, high_c: float, from_c: float, to_c: float, way_out: str
) -> None:
    if from_c <= low_c <= to_c and from_c <= high_c <= to_c:
        return
    outside = low_c if low_c < from_c else high_c
    limit = from_c if low_c < from_c else to_c
    raise Refused(
        "not-in-range",
        f"{parasite}: nothing is known at {figure(outside)} C, only from {figure(from_c)} to "
        f"{figure(to_c)} C",
        limit=limit,
        value=outside,
        unit="C",
        source="the range of the data the life cycle was taken from",
        way_out=way_out,
    )
