"""The closed table of trade units: every accepted spelling, with its exact factor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Context, Decimal

ONE = Decimal(1)
ZERO = Decimal(0)
WIDE = Context(prec=60)
"""Products of a typed number and a factor are exact within 60 digits."""
NARROW = Context(prec=28)
"""Quotients that do not end (1/50.04, 5/9) are kept to 28 digits."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One spelling: value in `canonical` = (number + offset) x num / den.

    `basis` says what a mass is counted as (N, NH3, NH4, NO2, NO3) or how a percentage is meant
    (w/w, w/v, v/v). `also` are other spellings that mean the same.
    """

    spelling: str
    canonical: str
    num: Decimal = ONE
    den: Decimal = ONE
    offset: Decimal = ZERO
    basis: str | None = None
    also: tuple[str, ...] = ()

    def to_canonical(self, number: Decimal) -> Decimal:
        """The number of this unit, in the canonical unit."""
        return self._scale(WIDE.add(number, self.offset))

    def step_to_canonical(self, number: Decimal) -> Decimal:
        """A difference or half-width in this unit, in the canonical unit (no offset)."""
        return self._scale(number)

    def from_canonical(self, value: Decimal) -> Decimal:
        """A value in the canonical unit, in this unit."""
        return NARROW.subtract(self.step_from_canonical(value), self.offset)

    def step_from_canonical(self, value: Decimal) -> Decimal:
        """A difference in the canonical unit, in this unit (no offset)."""
        return NARROW.divide(WIDE.multiply(value, self.den), self.num)

    def _scale(self, number: Decimal) -> Decimal:
        product = WIDE.multiply(number, self.num)
        return product if self.den == ONE else NARROW.divide(product, self.den)


def _unit(
    spelling: str, canonical: str, factor: str = "1", *also: str, basis: str | None = None
) -> Unit:
    return Unit(spelling, canonical, Decimal(factor), basis=basis, also=also)


LENGTH = (
    _unit("mm", "cm", "0.1"),
    _unit("cm", "cm"),
    _unit("m", "cm", "100"),
    _unit("in", "cm", "2.54"),
    _unit("ft", "cm", "30.48"),
)
"""Inch and foot: exact by the international yard and pound agreement, 1959."""

_VOLUME_ML = {
    "uL": "0.001",
    "mL": "1",
    "L": "1000",
    "m3": "1000000",
    "ft3": "28316.846592",
    "US gal": "3785.411784",
    "imp gal": "4546.09",
    "US qt": "946.352946",
    "imp qt": "1136.5225",
    "US pt": "473.176473",
    "imp pt": "568.26125",
    "US fl oz": "29.5735295625",
    "imp fl oz": "28.4130625",
}
"""Millilitres in one. US gallon = 231 in3; imperial gallon = 4.54609 L by law."""

VOLUME = tuple(
    Unit(name, "L", Decimal(ml), Decimal(1000)) for name, ml in _VOLUME_ML.items() if name != "uL"
)
VOLUME_ML = tuple(_unit(name, "mL", ml) for name, ml in _VOLUME_ML.items())

MASS = (
    _unit("mcg", "g", "0.000001", "ug"),
    _unit("mg", "g", "0.001"),
    _unit("g", "g"),
    _unit("kg", "g", "1000"),
    _unit("lb", "g", "453.59237"),
    _unit("oz mass", "g", "28.349523125"),
)
"""Pound (avoirdupois): exact by the 1959 agreement; an ounce is a sixteenth of it."""

TEMPERATURE = (
    _unit("C", "C", "1", "°C"),
    Unit("F", "C", Decimal(5), Decimal(9), Decimal(-32), also=("°F",)),
)
TEMPERATURE_STEP = (
    _unit("C", "C", "1", "°C"),
    Unit("F", "C", Decimal(5), Decimal(9), also=("°F",)),
)
TEMPERATURE_RATE = (
    _unit("C/h", "C/h", "1", "°C/h"),
    Unit("F/h", "C/h", Decimal(5), Decimal(9), also=("°F/h",)),
)

N_G_MOL = Decimal("14.0067")
"""Molar mass of nitrogen [g/mol]; IUPAC standard atomic weight."""
H_G_MOL = Decimal("1.00794")
"""Molar mass of hydrogen [g/mol]; IUPAC standard atomic weight."""
_COUNTED_AS = {"N": N_G_MOL, "NH3": N_G_MOL + 3 * H_G_MOL, "NH4": N_G_MOL + 4 * H_G_MOL}
_PER_LITRE = {"mg/L": "1", "mcg/L": "0.001"}

TAN = tuple(
    Unit(
        f"{name} as {basis}",
        "mg/L as N",
        Decimal(factor) * N_G_MOL if basis != "N" else Decimal(factor),
        molar if basis != "N" else ONE,
        basis=basis,
        also=("ug/L as " + basis,) if name == "mcg/L" else (),
    )
    for name, factor in _PER_LITRE.items()
    for basis, molar in _COUNTED_AS.items()
)
"""Total ammonia; NH3 x 0.8224 and NH4 x 0.7765 are nitrogen."""


def _ions(*bases: str) -> tuple[Unit, ...]:
    plain = (_unit("mg/L", "mg/L"), _unit("mcg/L", "mg/L", "0.001", "ug/L"))
    return plain + tuple(
        _unit(f"mg/L as {basis}", "mg/L", "1", f"mg/L {basis}", basis=basis) for basis in bases
    )


NITRITE = _ions("N", "NO2")
NITRATE = _ions("N", "NO3")
DISSOLVED = _ions()

CONCENTRATION = (
    _unit("mg/L", "mg/L", "1", "g/m3"),
    _unit("g/L", "mg/L", "1000"),
    _unit("mcg/L", "mg/L", "0.001", "ug/L"),
    _unit("ng/L", "mg/L", "0.000001"),
    _unit("% w/v", "mg/L", "10000", basis="w/v"),
    _unit("uL/L", "uL/L", "1", "mL/m3"),
    _unit("mL/L", "uL/L", "1000"),
    _unit("% v/v", "uL/L", "10000", basis="v/v"),
    _unit("mg/kg", "mg/kg"),
    _unit("g/kg", "mg/kg", "1000"),
    _unit("mcg/kg", "mg/kg", "0.001", "ug/kg"),
    _unit("mg/kg/d", "mg/kg/d"),
    _unit("g/kg/d", "mg/kg/d", "1000"),
    _unit("mcg/kg/d", "mg/kg/d", "0.001", "ug/kg/d"),
)
SALT = (
    _unit("g/L", "g/L", "1", "kg/m3"),
    _unit("mg/L", "g/L", "0.001"),
    _unit("% w/v", "g/L", "10", "%", basis="w/v"),
)
CONDUCTIVITY = (_unit("uS/cm", "uS/cm"), _unit("mS/cm", "uS/cm", "1000"))
GRAVITY = (_unit("SG", "SG"),)

MEQ_L_PER_DEGREE = Decimal("0.356634")
"""One German degree [meq/L]: 10 mg/L CaO."""
CACO3_MG_PER_MEQ = Decimal("50.04")
"""Half the molar mass of CaCO3 [mg/meq]."""
_CACO3 = Unit("mg/L CaCO3", "meq/L", ONE, CACO3_MG_PER_MEQ, also=("mg/L as CaCO3",))
ALKALINITY = (_unit("meq/L", "meq/L"), Unit("dKH", "meq/L", MEQ_L_PER_DEGREE), _CACO3)
HARDNESS = (_unit("meq/L", "meq/L"), Unit("dGH", "meq/L", MEQ_L_PER_DEGREE), _CACO3)

DURATION = (
    Unit("s", "min", ONE, Decimal(60)),
    _unit("min", "min"),
    _unit("h", "min", "60"),
    _unit("d", "min", "1440"),
)
FLOW = tuple(
    Unit(f"{name}/{per}", "L/min", Decimal(_VOLUME_ML[name]), Decimal(1000 * minutes))
    for name in ("mL", "L", "US gal", "imp gal")
    for per, minutes in (("min", 1), ("h", 60))
)
FEED = (_unit("g/d", "g/d"), _unit("mg/d", "g/d", "0.001"), _unit("kg/d", "g/d", "1000"))

STRENGTH = (
    _unit("% w/w", "% w/w", "1", basis="w/w"),
    _unit("g/kg", "% w/w", "0.1", "mg/g", basis="w/w"),
    _unit("% w/v", "% w/v", "1", basis="w/v"),
    _unit("g/100 mL", "% w/v", "1", "g/100mL", basis="w/v"),
    _unit("mg/mL", "% w/v", "0.1", basis="w/v"),
    _unit("g/L", "% w/v", "0.1", basis="w/v"),
    _unit("% v/v", "% v/v", "1", basis="v/v"),
)
DENSITY = (
    _unit("g/mL", "g/mL", "1", "kg/L", "g/cm3"),
    _unit("kg/m3", "g/mL", "0.001", "g/L"),
)
PRESSURE = (
    _unit("hPa", "hPa", "1", "mbar"),
    _unit("kPa", "hPa", "10"),
    _unit("atm", "hPa", "1013.25"),
    _unit("mmHg", "hPa", "1.333223874150"),
    _unit("inHg", "hPa", "33.86388640341"),
)
"""Conventional millimetre and inch of mercury at 0 C: 13.5951 g/cm3 x 9.80665 m/s2."""
ALTITUDE = (_unit("m", "m"), _unit("ft", "m", "0.3048"))
PERCENT = (_unit("%", "%"),)
PURE = (_unit("", ""),)


def plain_spelling(text: str) -> str:
    """The unit text with single blanks and a plain u for either Greek mu."""
    return " ".join(text.replace("\u00b5", "u").replace("\u03bc", "u").split())


def spellings(units: tuple[Unit, ...]) -> Mapping[str, Unit]:
    """Each accepted spelling of `units`."""
    return {name: unit for unit in units for name in (unit.spelling, *unit.also)}
