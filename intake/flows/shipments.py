"""What follows from a shipment's times."""

from __future__ import annotations

from datetime import datetime, timedelta

from intake.flows.facts.things import Shipment

CLAIM_WINDOW_MIN = 120.0
"""How long a seller takes a claim after delivery where nothing is said [min]: common practice,
the usual term of seven sellers' public conditions."""


def claim_closes(shipment: Shipment) -> datetime | None:
    """When the seller stops taking claims, counted from the carrier's stamp."""
    if shipment.delivered is None:
        return None
    minutes = shipment.claim_window_min or CLAIM_WINDOW_MIN
    return shipment.delivered + timedelta(minutes=minutes)


def claim_state(shipment: Shipment, now: datetime) -> str:
    """open, sent, or closed."""
    if shipment.claims:
        return "sent"
    closes = claim_closes(shipment)
    return "open" if closes is not None and now <= closes else "closed"
