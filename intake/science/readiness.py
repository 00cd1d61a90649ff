"""What the record says of a preparation: ready, missing with what to do, or never said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from intake.science.band import Ends
from intake.science.figures import figure
from intake.science.limits import allowed

VOLUME_SHARE = Decimal("0.10")
"""A volume known to this share of itself is known well enough [1]: sizes with a tape come to 5 to
10 % (common practice)."""
UNSEEDED_G_L = Decimal(1)
"""Fish by mass in water whose filter was not seeded, at most [g/L]: common practice."""
SEEDED_DAYS = 28
"""How long a sponge runs in a healthy system before it counts as seeded [d]: common practice."""
FRESH_DAYS = 3
"""A reading older than this [d] says nothing of the water now. Common practice."""
KITS = {"tan": "TAN", "no2": "nitrite", "ph": "pH", "kh": "KH"}
"""What the water tests of a quarantine read, and its name."""


@dataclass(frozen=True, slots=True)
class Ready:
    """One piece of a preparation by the record.

    `state` is "ready", "missing" or "unsaid": the last holds nothing up, since nobody need say
    it. `entry` is the newest entry it rests on, 0 for none.
    """

    piece: str
    state: str
    text: str
    entry: int = 0


@dataclass(frozen=True, slots=True)
class Sponge:
    """The filter sponge of a vessel: new, seeded, cycled, or "" where only a squeeze is known.

    `origin` is where it ran before, "" where that was not said; `clean` is false where that
    water was in quarantine or a hospital then.
    """

    vessel: str
    state: str
    entry: int
    days: int = 0
    origin: str = ""
    clean: bool = True
    squeezed_days: int | None = None


@dataclass(frozen=True, slots=True)
class KitHeld:
    """A kit on the shelf: what it tests, its date, and whether it is a meter, which has none."""

    name: str
    tests: tuple[str, ...]
    expires: date | None
    entry: int
    meter: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody to call: the name, the telephone ("" where none is written) and the entry."""

    name: str
    phone: str
    entry: int


def of_volume(litres: Ends, entry: int) -> Ready:
    """Whether the true water [L] is known, and well enough; no litres at all is unknown."""
    if litres.value <= 0:
        return Ready("volume", "missing", "the true water is not known: measure the vessel")
    low, high = litres.low or 0.0, litres.value if litres.high is None else litres.high
    half = max(litres.value - low, high - litres.value)
    share = half / litres.value
    told = f"{figure(litres.value, 3)} L, known to {figure(share * 100, 2)} %"
    if allowed(share, None, VOLUME_SHARE):
        return Ready("volume", "ready", told, entry)
    most = figure(VOLUME_SHARE * 100)
    hint = "gauge it by bucket, meter or salt (record gauge)"
    return Ready("volume", "missing", f"{told}, over {most} %: {hint}", entry)


def of_load(count: int, mass_g: float, litres: Ends, *, seeded: bool, entry: int) -> Ready:
    """The mass of the expected fish [g each] against the least this water may be [L]."""
    if not count or mass_g <= 0:
        return Ready("load", "unsaid", "how many fish of what mass is not said (--fish, --mass)")
    low = litres.value if litres.low is None else litres.low
    if low <= 0:
        return Ready("load", "missing", "the true water is not known: no grams a litre", entry)
    load = count * mass_g / low
    fish = f"{count} fish of {figure(mass_g, 3)} g make {figure(load, 2)} g/L"
    if seeded or allowed(load, None, UNSEEDED_G_L):
        return Ready("load", "ready", fish, entry)
    litres_needed = figure(count * mass_g / float(UNSEEDED_G_L), 3)
    hint = f"more water ({litres_needed} L), fewer fish, or a sponge that is seeded"
    limit = figure(UNSEEDED_G_L)
    return Ready("load", "missing", f"{fish}, over {limit} for an unseeded filter: {hint}", entry)


def of_sponges(sponges: Sequence[Sponge]) -> Ready:
    """Whether every vessel has a sponge that carries its filter, from water that was released."""
    told = [_of_sponge(s) for s in sponges]
    entry = max((s.entry for s in sponges), default=0)
    missing = [text for text, ok in told if not ok]
    if missing or not told:
        return Ready("sponge", "missing", "; ".join(missing) or "no vessel has a sponge", entry)
    return Ready("sponge", "ready", "; ".join(text for text, _ in told), entry)


def _of_sponge(s: Sponge) -> tuple[str, bool]:
    squeezed = "" if s.squeezed_days is None else f", squeezed {s.squeezed_days} d ago"
    if not s.state:
        say = "say with record equipment --sponge seeded --from VESSEL"
        told = f"{s.vessel}: nothing says what its sponge is{squeezed}; {say}"
        return told, False
    since = f"{s.vessel}: sponge {s.state} {s.days} d ago"
    if s.state == "new":
        why = "nothing lives on it yet: test ammonia twice a day, or run it in a released water "
        return f"{since}{squeezed}; {why}for {SEEDED_DAYS} d first", False
    if not s.origin:
        if s.state == "cycled":
            return f"{since}{squeezed}", True
        return f"{since}{squeezed}; where it ran before is not written (--from)", False
    if not s.clean:
        why = "that water was not released: it brings what lives there"
        return f"{since} in {s.origin}; {why}", False
    return f"{since} in {s.origin}{squeezed}", True


def of_kits(kits: Sequence[KitHeld], day_0: date, days: int) -> Ready:
    """Whether a kit in date on day 0 is there for every test; those that end sooner are told."""
    missing, told, entries = [], [], [0]
    for test, name in KITS.items():
        mine = [k for k in kits if test in k.tests]
        good = [k for k in mine if k.meter or (k.expires is not None and k.expires >= day_0)]
        if good:
            best = max(good, key=lambda k: date.max if k.meter else k.expires or date.min)
            entries.append(best.entry)
            told.append(_kit_told(name, best, day_0 + timedelta(days)))
        elif any(k.expires is None for k in mine):
            missing.append(f"{name}: no date of {mine[0].name} (a pen's: its buffer) is written")
        elif mine:
            last = max(mine, key=lambda k: k.expires or date.min)
            missing.append(f"{name}: {last.name} ends {last.expires}, before day 0")
        else:
            missing.append(f"{name}: no kit")
    if missing:
        return Ready("kits", "missing", "; ".join(missing), max(entries))
    return Ready("kits", "ready", "; ".join(told), max(entries))


def _kit_told(name: str, kit: KitHeld, last: date) -> str:
    if kit.meter or kit.expires is None:
        return f"{name} by {kit.name}"
    soon = ", before the last day" if kit.expires < last else ""
    return f"{name} by {kit.name} to {kit.expires}{soon}"


def of_water(judged: str, text: str, days: int | None, entry: int) -> Ready:
    """Whether the newest test of the waiting water was inside its targets, and new enough.

    `judged` is as in `WaterJudged`, "" where none was made; `days` since it [d].
    """
    if not judged or days is None:
        return Ready("water", "missing", "no test of the water is recorded")
    if days > FRESH_DAYS:
        return Ready("water", "missing", f"the newest test is {days} d old: test again", entry)
    if judged == "ok":
        return Ready("water", "ready", f"inside the targets {days} d ago", entry)
    word = "outside the targets" if judged == "not" else "cannot be judged"
    return Ready("water", "missing", f"{word}: {text}".rstrip(": "), entry)


def of_bag_temperature(
    bag: Ends | None, water: Ends | None, days: int | None, gap_c: Decimal, entry: int
) -> Ready:
    """Whether the water has the temperature the bag is expected with, `gap_c` [C] apart at most.

    Water that is colder would cool fish abruptly, and chilling carriers raised goldfish
    herpesvirus (Goodwin et al. 2009, J Fish Dis 32:271): it is raised before they come.
    """
    piece = "bag-temperature"
    if bag is None:
        hint = "ask the seller, then correct the quarantine with --bag-temp"
        return Ready(piece, "missing", f"the bag's temperature is not written: {hint}", entry)
    if water is None or days is None:
        return Ready(piece, "missing", "no temperature of the water is recorded", entry)
    if days > FRESH_DAYS:
        text = f"the water's temperature was read {days} d ago: read it again"
        return Ready(piece, "missing", text, entry)
    colder = (bag.value if bag.high is None else bag.high) - water.value
    warmer = water.value - (bag.value if bag.low is None else bag.low)
    apart = max(colder, warmer)
    told = f"water {figure(water.value, 3)} C, bag expected at {_ends(bag)} C"
    if allowed(apart, None, gap_c):
        return Ready(
            piece, "ready", f"{told}: {figure(max(0.0, apart), 2)} C apart at most", entry
        )
    if colder >= warmer:
        way = "colder: raise it slowly before they come; fish are never cooled abruptly"
    else:
        way = "warmer: let it fall slowly before they come, never once they are in"
    return Ready(piece, "missing", f"{told}: {figure(apart, 2)} C {way}", entry)


def _ends(band: Ends) -> str:
    if band.low is None or band.high is None or band.low == band.high:
        return figure(band.value, 3)
    return f"{figure(band.low, 3)} to {figure(band.high, 3)}"


def of_phone(role: str, people: Sequence[Known]) -> Ready:
    """Whether somebody of that role is written down with a telephone number."""
    called = [p for p in people if p.phone.strip()]
    if called:
        newest = max(called, key=lambda p: p.entry)
        return Ready(role, "ready", f"{role} {newest.name}, {newest.phone}", newest.entry)
    if people:
        text = f"{role} {people[-1].name} has no telephone number: correct that entry with --phone"
        return Ready(role, "missing", text, people[-1].entry)
    hint = f"record person NAME --role {role} --phone NUMBER"
    return Ready(role, "missing", f"no {role} is written down: {hint}")
