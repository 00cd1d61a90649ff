"""The overview of every command."""

from __future__ import annotations

from intake import __version__

OVERVIEW = """\
intake {version}: receive live fish, match water, dose by true volume,
quarantine, release

  intake                     the screens; 'intake open dose' begins on Dose
  working out (no room needed)
    volume SHAPE ...         true water of a vessel
    water ammonia|blend ...  what is in the water, and what mixing it makes
    acclimate ...            a bag against a vessel, ways across side by side
    dose TREATMENT ...       what to weigh or draw up
    plan PLAN ...            the dates of a quarantine plan
    rescue NAME              what to do now; --vessel NAME gives its amounts
    check [FILE ...]         reads protocol files and says what is wrong
  the room
    room new|set|show        the place and its data
    demo --out FILE          a room to try things in
    record KIND ...          writes one entry
    correct ENTRY --why ...  replaces what an entry says
    import FILE --vessel N   temperatures from a logger's CSV file
    today · tasks · checks SYSTEM
    calendar [--out FILE]    weeks and days; paper, or .ics for other calendars
    residue SYSTEM [--plan]  what is left of treatments, and the changes ahead
    forecast VESSEL          oxygen without air, KH left, the next change
    report waterline VESSEL  litres at every line, to tape to the tub
    report crossing BOX      a bag's way across, with its charts
    report tub-card VESSEL   what must be read at a tub, to tape to it
    report dose ENTRY        the whole record of one dose
    report release SUBJECT   released on what evidence, or what is open
    history SUBJECT · verify
  everywhere
    --room FILE  --at TIME  --keeper NAME  --json  --quiet  --dry-run

The product label and your vet come first. 'intake WORD --help' says more."""


def overview() -> str:
    """What the program can do, in one page."""
    return OVERVIEW.format(version=__version__)


def choices(word: str) -> list[str]:
    """What may follow a word that needs a second one, each with what it is; else nothing."""
    if word == "record":
        from intake.flows.forms.every import FORMS

        return [f"  {f.kind:<12} {f.help}" for f in FORMS.values() if not f.imported]
    if word == "volume":
        from intake.science.volume import SHAPES

        return [f"  {shape.name:<12} {shape.how}" for shape in SHAPES.values()]
    return [f"  {name:<12} {told}" for name, told in SECOND.get(word, {}).items()]


SECOND = {
    "water": {
        "ammonia": "how much of the total ammonia is NH3",
        "blend": "what two waters make when they are mixed",
        "oxygen": "how much oxygen the water takes up",
        "salt": "one salt reading said in every way",
        "dechlorinate": "thiosulfate for tap water",
        "change": "how much to change, and what a change makes of pH and ammonia",
    },
    "room": {
        "new": "makes a room",
        "set": "changes its settings",
        "show": "what is in it",
    },
    "report": {
        "waterline": "litres at every line of a vessel, with a tape to cut out",
        "crossing": "the way across of a bag, with charts of temperature, pH and NH3",
        "tub-card": "what is in a tub and its water today, to tape to it",
        "dose": "the whole record of one dose",
    },
    "correct": {
        "ENTRY": "number of the entry; --why TEXT, and --void or what is different",
    },
}
"""The second words that are not forms or shapes, and what each is for."""
