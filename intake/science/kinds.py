"""What each kind of quantity accepts: its units, whether 0 makes sense, what cannot be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from intake.science import units as u

Limits = Mapping[str, tuple[Decimal | None, Decimal | None]]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity.

    `asks` says what is wanted, for messages, and `offers` which spellings to name in them.
    `limits` are what can be, by canonical unit, both ends allowed. `bare` is the unit meant
    where none is typed (None: a unit is needed). `reading` kinds take bands, `signed` a minus.
    """

    name: str
    asks: str
    units: tuple[u.Unit, ...]
    zero_ok: bool = False
    reading: bool = False
    signed: bool = False
    whole: bool = False
    bare: str | None = None
    limits: Limits = field(default_factory=dict)
    offers: tuple[str, ...] = ()
    spellings: Mapping[str, u.Unit] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "spellings", u.spellings(self.units))

    @property
    def offered(self) -> tuple[str, ...]:
        """The spellings named in messages: `offers`, else all of them."""
        return self.offers or tuple(unit.spelling for unit in self.units if unit.spelling)


def _span(low: str | None, high: str | None) -> tuple[Decimal | None, Decimal | None]:
    return (None if low is None else Decimal(low), None if high is None else Decimal(high))


WATER_C = _span("-10", "45")
"""From a frosty night on a box to a heater stuck on [C]; common practice."""
PH = _span("0", "14")
"""The scale of a pH meter."""
SALT_G_L = _span(None, "360")
"""Water takes up no more: NaCl 359 g per kg of water at 20 C (solubility tables)."""
SG = _span("0.99", "1.04")
"""Outside this a hydrometer was misread; fresh water to salt water. Common practice."""
HUNDRED = _span(None, "100")
SHARE = _span(None, "1")
ALTITUDE_M = _span("-450", "9000")
"""From the Dead Sea shore to the highest summit [m]."""
PRESSURE_HPA = _span("300", "1100")
"""From the highest summit to the deepest shore [hPa]."""

_ALL = (
    Kind("length", "a length", u.LENGTH),
    Kind("volume", "a volume", u.VOLUME, offers=("L", "mL", "US gal", "imp gal")),
    Kind("mass", "a mass", u.MASS),
    Kind("amount", "an amount", u.MASS + u.VOLUME_ML, offers=("g", "mg", "kg", "mL", "L")),
    Kind(
        "temperature",
        "a temperature",
        u.TEMPERATURE,
        zero_ok=True,
        reading=True,
        signed=True,
        limits={"C": WATER_C},
    ),
    Kind("temperature-step", "a temperature difference", u.TEMPERATURE_STEP, zero_ok=True),
    Kind("temperature-rate", "a temperature rate", u.TEMPERATURE_RATE, zero_ok=True),
    Kind(
        "ph",
        "a pH",
        (u.Unit("", "", also=("pH",)),),
        zero_ok=True,
        reading=True,
        bare="",
        limits={"": PH},
    ),
    Kind(
        "tan",
        "total ammonia",
        u.TAN,
        zero_ok=True,
        reading=True,
        offers=("mg/L as N", "mg/L as NH3", "mg/L as NH4"),
    ),
    Kind(
        "no2",
        "nitrite",
        u.NITRITE,
        offers=("mg/L as N", "mg/L as NO2"),
        zero_ok=True,
        reading=True,
    ),
    Kind(
        "no3",
        "nitrate",
        u.NITRATE,
        offers=("mg/L as N", "mg/L as NO3"),
        zero_ok=True,
        reading=True,
    ),
    Kind("oxygen", "dissolved oxygen", u.DISSOLVED, zero_ok=True, reading=True),
    Kind("chlorine", "chlorine", u.DISSOLVED, zero_ok=True, reading=True),
    Kind("demand", "permanganate demand", u.DISSOLVED, zero_ok=True, reading=True),
    Kind("concentration", "a concentration", u.CONCENTRATION, offers=("mg/L", "g/L", "uL/L")),
    Kind("salt", "salt", u.SALT, zero_ok=True, reading=True, limits={"g/L": SALT_G_L}),
    Kind(
        "saltiness",
        "salt, a conductivity or a specific gravity",
        u.SALT + u.CONDUCTIVITY + u.GRAVITY,
        offers=("g/L", "uS/cm", "SG"),
        zero_ok=True,
        reading=True,
        limits={"g/L": SALT_G_L, "SG": SG},
    ),
    Kind("alkalinity", "KH", u.ALKALINITY, zero_ok=True, reading=True),
    Kind("hardness", "GH", u.HARDNESS, zero_ok=True, reading=True),
    Kind("conductivity", "a conductivity", u.CONDUCTIVITY, zero_ok=True, reading=True),
    Kind(
        "gravity",
        "a specific gravity",
        u.GRAVITY,
        reading=True,
        bare="SG",
        limits={"SG": SG},
    ),
    Kind("flow", "a flow", u.FLOW, offers=("L/h", "mL/min")),
    Kind("feed", "feed per day", u.FEED),
    Kind("duration", "a time span", u.DURATION),
    Kind("percent", "a percentage", u.PERCENT, zero_ok=True, bare="%", limits={"%": HUNDRED}),
    Kind("share", "a share from 0 to 1", u.PURE, zero_ok=True, bare="", limits={"": SHARE}),
    Kind(
        "strength",
        "a strength",
        u.STRENGTH,
        offers=("% w/w", "% w/v", "mg/mL"),
        limits={"% w/w": HUNDRED, "% v/v": HUNDRED},
    ),
    Kind("density", "a density", u.DENSITY),
    Kind(
        "pressure",
        "an air pressure",
        u.PRESSURE,
        offers=("hPa", "kPa", "mmHg"),
        limits={"hPa": PRESSURE_HPA},
    ),
    Kind(
        "altitude",
        "an altitude",
        u.ALTITUDE,
        zero_ok=True,
        signed=True,
        limits={"m": ALTITUDE_M},
    ),
    Kind("count", "a whole number", u.PURE, zero_ok=True, whole=True, bare=""),
    Kind("number", "a number", u.PURE, bare=""),
)

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}
"""Every kind by its name."""


def unit_of(kind: str, spelling: str) -> u.Unit | None:
    """The unit a kind knows under this spelling, or None."""
    return KINDS[kind].spellings.get(u.plain_spelling(spelling))


def convert(value: Decimal, kind: str, unit: str) -> Decimal | None:
    """A value in the kind's canonical unit, in `unit`; None where the kind has no such unit."""
    known = unit_of(kind, unit)
    return None if known is None else known.from_canonical(value)
