"""Nitrite, and the chloride that keeps it out of the gills for a time."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.carbonate import NACL_G_PER_MOL
from intake.science.span import Span

CHLORIDE_G_PER_MOL = 35.453
"""Source: IUPAC atomic weights."""

CHLORIDE_PER_NITRITE = 10.0
"""Chloride [mg/L] for each mg/L of nitrite (as NO2) that protects fish for a time.
Source: SRAC 462, on channel catfish; goldfish were not tested there."""


@dataclass(frozen=True, slots=True)
class Chloride:
    """Chloride against nitrite, judged at the most nitrite and the least chloride.

    Parameters
    ----------
    chloride_mg_l
        From salt and a chloride test together, between its ends [mg/L].
    ratio
        Chloride over nitrite, at the careful end; None where there may be no nitrite.
    salt_needed_g_l
        Salt that is wanting [g/L], 0 where there is enough.
    """

    chloride_mg_l: Span
    ratio: float | None
    salt_needed_g_l: float


def chloride_of_salt_mg_l(salt_g_l: float) -> float:
    """Chloride [mg/L] in salt [g/L], taken as sodium chloride alone.

    Examples
    --------
    >>> round(chloride_of_salt_mg_l(1.0))
    607
    """
    return salt_g_l * 1000.0 * CHLORIDE_G_PER_MOL / NACL_G_PER_MOL


def against_nitrite(nitrite_mg_l: Span, salt_g_l: Span, chloride_mg_l: Span) -> Chloride:
    """How much chloride stands against a nitrite, and how much salt is wanting.

    Parameters
    ----------
    nitrite_mg_l
        Nitrite as NO2 [mg/L].
    salt_g_l
        Salt in the water [g/L]; none where it was not read.
    chloride_mg_l
        Chloride beside that salt, of the tap [mg/L].
    """
    there = Span(
        *(
            chloride_of_salt_mg_l(salt) + more
            for salt, more in (
                (salt_g_l.low, chloride_mg_l.low),
                (salt_g_l.nominal, chloride_mg_l.nominal),
                (salt_g_l.high, chloride_mg_l.high),
            )
        )
    )
    wanting = max(0.0, CHLORIDE_PER_NITRITE * nitrite_mg_l.high - there.low)
    ratio = there.low / nitrite_mg_l.high if nitrite_mg_l.high > 0.0 else None
    return Chloride(there, ratio, wanting / chloride_of_salt_mg_l(1.0))
