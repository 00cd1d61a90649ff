"""What fish weigh: as weighed, from their length, or by their stage."""

from __future__ import annotations

from intake.science.span import Span, as_span

STAGE_MASS_G = {
    "eggs": Span(0.0, 0.002, 0.003),
    "hatchlings": Span(0.001, 0.003, 0.01),
    "fry": Span(0.01, 0.2, 1.0),
    "juvenile": Span(1.0, 8.0, 30.0),
    "adult": Span(30.0, 90.0, 250.0),
}
"""One goldfish of a stage [g], whatever its variety. Common practice: small to large ones."""

G_PER_CM3 = Span(0.015, 0.025, 0.04)
"""Mass over length cubed [g/cm3], slim ones to round fancy ones, tail included. From memory."""


def mass_of(stage: str, mass_g: float | None = None, length_cm: float | None = None) -> Span:
    """One fish [g] with its ends: as weighed, else by its length, else by its stage.

    Parameters
    ----------
    stage
        A life stage; one that is not known counts as adult, the end that harms.
    mass_g, length_cm
        As measured [g, cm]; None where it was not.

    Examples
    --------
    >>> mass_of("adult", 82.0).nominal
    82.0
    """
    if mass_g is not None:
        return as_span(mass_g)
    if length_cm is not None:
        return G_PER_CM3.map(lambda per: per * length_cm**3)
    return STAGE_MASS_G.get(stage, STAGE_MASS_G["adult"])
