"""Receive a shipment, match water, dose by true volume, quarantine, release on evidence."""

__version__ = "0.1.0"
DISTRIBUTION = "fishroom-intake"
"""Tells this package from another one that is imported by the same name."""
