"""How much product brings so much water to a target, and back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.problem import Refused
from intake.science.treatment import Strength, Treatment

PRODUCT_BASES = ("product-volume", "product-mass")
"""Bases that count the product itself, whatever is in it."""
PRODUCT_MISMATCH_PERCENT = Decimal(1)
"""How far a typed strength may be from the protocol's where the product itself is dosed [%], and
from the bottle's own record. Source: common practice, the house's rule for labels."""
PURITY_MISMATCH_PERCENT = Decimal(10)
"""How far a typed strength may be from a form the trade sells where what is in it is dosed [%]:
the arithmetic follows the label, but a slip of ten or another product stops. Common practice."""

_LEAST_STRENGTH = Decimal("0.000001")

CONCENTRATIONS = {"g/L": Decimal(1000), "mg/L": Decimal(1)}
"""Mass targets in mg/L."""
FEED_UNIT = "mg/kg/d"
"""Feed targets: per fish mass and day."""


@dataclass(frozen=True, slots=True)
class StatedStrength:
    """A strength read from a label: `value` in `unit`.

    `unit` is one of "%", "% w/w", "% w/v", "% v/v", "mg/mL", "g/100 mL"; a bare "%" is allowed
    where the protocol knows one form only, and for powders.
    """

    value: Decimal
    unit: str

    def __str__(self) -> str:
        return f"{figure(self.value)} {self.unit}"


@dataclass(frozen=True, slots=True)
class Counted:
    """What one g or mL of a product brings: `per_unit` in mL (by volume) or g of what counts.

    `sold` is the protocol's form it was matched to; None where the label alone is followed.
    """

    strength: StatedStrength
    unit: str  # "g" | "mL", what the product is measured in
    per_unit: Decimal
    sold: Strength | None = None


def per_volume(strength: StatedStrength, density_g_ml: Decimal | None) -> Decimal | None:
    """`strength` in mg of solute per mL; None where that cannot be told (w/w alone, v/v).

    Source: by definition 1 % w/v = 10 mg/mL; 35 % w/w peroxide of 1.1317 g/mL is 396.1 mg/mL
    (21 CFR 529.1150).
    """
    if strength.unit in ("% w/v", "g/100 mL"):
        return strength.value * 10
    if strength.unit == "mg/mL":
        return strength.value
    if strength.unit == "% v/v" or density_g_ml is None:
        return None
    return strength.value * 10 * density_g_ml


def counted(
    treatment: Treatment,
    stated: StatedStrength | None = None,
    bottle: StatedStrength | None = None,
) -> Counted:
    """What one unit of the product brings of the dosed thing.

    Parameters
    ----------
    treatment
        Its basis and the forms the trade sells.
    stated
        Typed from the label; None takes the bottle's record, then the protocol's usual one.
    bottle
        What was recorded when the product came onto the shelf.

    Raises
    ------
    Refused
        ``strength-mismatch``: no form of the protocol is within 1 % of it (10 % where what is in
        the product is dosed), or it is over 1 % off the bottle's own record.
    """
    strength = stated or bottle
    if stated is not None and bottle is not None:
        _same_bottle(stated, bottle)
    if not treatment.strengths:
        return _by_label(treatment, strength)
    if strength is None:
        form = treatment.usual_strength
        strength = StatedStrength(form.value, form.unit)
    for form in treatment.strengths:
        ratio = _ratio(strength, form, len(treatment.strengths))
        if ratio is not None and _near(ratio, _tolerance(treatment)):
            return _counted(treatment, form, strength, ratio)
    raise _unknown_strength(treatment, strength)


def _unknown_strength(treatment: Treatment, strength: StatedStrength) -> Refused:
    known = ", ".join(str(StatedStrength(s.value, s.unit)) for s in treatment.strengths)
    return Refused(
        "strength-mismatch",
        f"{strength} is not a strength of {treatment.title} that this protocol knows ({known})",
        value=float(strength.value),
        unit=strength.unit,
        source=f"protocol {treatment.id} {treatment.version}",
        way_out="read the label again; another product needs its own protocol",
    )


def counted_range(
    treatment: Treatment, stated: StatedStrength | None
) -> tuple[Counted, Counted, Counted]:
    """The weakest, likely and strongest that one unit may bring, for what was given anyway.

    A strength that is known and fits gives three times the same; an unknown one, or one that the
    protocol does not know, spans every form sold in the same unit as the usual one.
    """
    if stated is not None:
        try:
            known = counted(treatment, stated)
        except Refused:
            pass
        else:
            return known, known, known
    if not treatment.strengths:
        whole = Counted(StatedStrength(Decimal(100), "% w/w"), "g", Decimal(1))
        return whole, whole, whole
    forms = [
        _counted(treatment, form, StatedStrength(form.value, form.unit), Decimal(1))
        for form in treatment.strengths
    ]
    usual = treatment.usual_strength
    likely = forms[treatment.strengths.index(usual)]
    same = sorted((f for f in forms if f.unit == likely.unit), key=lambda f: f.per_unit)
    return same[0], likely, same[-1]


def _by_label(treatment: Treatment, strength: StatedStrength | None) -> Counted:
    """A protocol without forms of its own follows the label alone: % powder, else a liquid."""
    if strength is None or not allowed(strength.value, _LEAST_STRENGTH, None):
        raise Refused(
            "strength-mismatch",
            f"{treatment.title} has no strength of its own: it is read from the label",
            source=f"protocol {treatment.id} {treatment.version}",
            way_out="type the strength from the label",
        )
    if strength.unit in ("%", "% w/w"):
        return Counted(strength, "g", strength.value / 100)
    mg_ml = per_volume(strength, None)
    if mg_ml is None:
        raise ValueError(f"{strength.unit} is not a strength")
    return Counted(strength, "mL", mg_ml / 1000)


def same_strength(stated: StatedStrength, bottle: StatedStrength) -> bool:
    """Whether two strengths read from labels are within 1 % of each other."""
    same_unit = stated.unit == bottle.unit or "%" in (stated.unit, bottle.unit)
    first, second = per_volume(stated, None), per_volume(bottle, None)
    if same_unit:
        ratio = stated.value / bottle.value
    elif first is not None and second is not None:
        ratio = first / second
    else:
        ratio = Decimal(0)
    return _near(ratio, PRODUCT_MISMATCH_PERCENT)


def _same_bottle(stated: StatedStrength, bottle: StatedStrength) -> None:
    if not same_strength(stated, bottle):
        raise Refused(
            "strength-mismatch",
            f"{stated} was typed, the product on the shelf was recorded as {bottle}",
            limit=float(bottle.value),
            value=float(stated.value),
            unit=bottle.unit,
            source="the product's own record",
            way_out="read the label again; a new bottle is recorded as a product of its own",
        )


def _near(ratio: Decimal, percent: Decimal) -> bool:
    return allowed((ratio - 1) * 100, -percent, percent)


def _tolerance(treatment: Treatment) -> Decimal:
    by_product = treatment.basis in PRODUCT_BASES
    return PRODUCT_MISMATCH_PERCENT if by_product else PURITY_MISMATCH_PERCENT


def _ratio(strength: StatedStrength, form: Strength, forms: int) -> Decimal | None:
    """How many times the form's strength it is; None where the two cannot be compared."""
    bare = strength.unit == "%" and form.unit.startswith("%")
    if strength.unit == form.unit or (bare and (forms == 1 or form.state != "liquid")):
        return strength.value / form.value
    if form.state != "liquid" or strength.unit == "%":
        return None
    typed = per_volume(strength, form.density_g_ml)
    known = per_volume(StatedStrength(form.value, form.unit), form.density_g_ml)
    return None if typed is None or known is None else typed / known


def _counted(
    treatment: Treatment, form: Strength, strength: StatedStrength, ratio: Decimal
) -> Counted:
    unit = "mL" if form.state == "liquid" else "g"
    share = form.counts_as
    if treatment.basis not in PRODUCT_BASES:
        share *= ratio
        if unit == "mL" and form.unit in ("% w/w", "%"):
            if form.density_g_ml is None:
                raise Refused(
                    "strength-mismatch",
                    f"{strength} by weight needs a density to be drawn by volume",
                    source=f"protocol {treatment.id} {treatment.version}",
                    way_out="type the strength in mg/mL or % w/v from the label",
                )
            share *= form.density_g_ml
    return Counted(strength, unit, share, form)


def base_per_unit(unit: str) -> Decimal:
    """How many g (or, for uL/L, mL) of what counts one target unit asks per litre.

    Raises
    ------
    ValueError
        The unit is not a concentration the amount of a product follows from.
    """
    if unit in CONCENTRATIONS:
        return CONCENTRATIONS[unit] / 1000
    if unit == "uL/L":
        return Decimal("0.001")
    raise ValueError(f"{unit} is not a concentration")


def in_course_unit(value: Decimal, unit: str, course_unit: str) -> Decimal | None:
    """`value` [`unit`] in `course_unit`; None where one is not the other in another size."""
    if unit == course_unit:
        return value
    if unit in CONCENTRATIONS and course_unit in CONCENTRATIONS:
        return value * CONCENTRATIONS[unit] / CONCENTRATIONS[course_unit]
    return None


def bath_amount(added: Decimal, unit: str, volume_l: Decimal, product: Counted) -> Decimal:
    """The product [g or mL] that raises `volume_l` [L] by `added` [`unit`].

    Source: the extension formula, amount = volume x target / share that counts (UF/IFAS FA37).

    Example
    -------
    >>> salt = Counted(StatedStrength(Decimal(100), "% w/w"), "g", Decimal(1))
    >>> bath_amount(Decimal(2), "g/L", Decimal(310), salt)
    Decimal('620')
    """
    return added * base_per_unit(unit) * volume_l / product.per_unit


def bath_added(amount: Decimal, unit: str, volume_l: Decimal, product: Counted) -> Decimal:
    """By how much [`unit`] `amount` [g or mL] of the product raises `volume_l` [L]."""
    return amount * product.per_unit / base_per_unit(unit) / volume_l


def daily_amount(target_mg_kg_d: Decimal, fish_mass_g: Decimal, product: Counted) -> Decimal:
    """The product [g or mL] for one day's feed of `fish_mass_g` [g] of fish."""
    return target_mg_kg_d * fish_mass_g / 1_000_000 / product.per_unit


def daily_target(amount: Decimal, fish_mass_g: Decimal, product: Counted) -> Decimal:
    """What `amount` [g or mL] a day gives `fish_mass_g` [g] of fish [mg/kg/d]."""
    return amount * product.per_unit * 1_000_000 / fish_mass_g


def feed_g_per_kg(target_mg_kg_d: Decimal, ration_percent: Decimal) -> Decimal:
    """The strength of the feed [g/kg] that gives `target_mg_kg_d` [mg/kg/d] at a ration [%].

    Source: treatments unit rule, g/kg feed = mg/kg body weight / (10 x feeding %), arithmetic.
    """
    return target_mg_kg_d / (10 * ration_percent)
