"""The overview of every command."""

from __future__ import annotations

from intake import __version__

OVERVIEW = """\
intake {version}: receive live fish, match water, dose by true volume, quarantine, release

  intake                     the screens
  working out (no room needed)
    volume SHAPE ...         true water of a vessel
    water ammonia|blend ...  what is in the water, and what mixing it makes
    acclimate ...            a bag against a vessel, the ways across side by side
    dose TREATMENT ...       what to weigh or draw up
    plan PLAN ...            the dates of a quarantine plan
    check [FILE ...]         reads protocol files and says what is wrong
  the room
    room new|set|show        the place and its data
    demo --out FILE          a room to try things in
    record KIND ...          writes one entry
    correct ENTRY --why ...  replaces what an entry says
    today · tasks · checks SYSTEM · residue SYSTEM
    history SUBJECT · verify
  everywhere
    --room FILE  --at TIME  --keeper NAME  --json  --quiet  --dry-run

The product label and your vet come first. 'intake WORD --help' says more."""


def overview() -> str:
    """What the program can do, in one page."""
    return OVERVIEW.format(version=__version__)
