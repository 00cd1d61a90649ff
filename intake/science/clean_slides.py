"""How many different fish clean slides were of, and what so few say of the rest."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction

from intake.science.quarantine import Occupant, Slide
from intake.science.restarts import local_day
from intake.science.sampling import excluded_share, least_excluded


def different_fish(slides: Iterable[Slide], time_zone: str) -> int:
    """How many different fish the slides were of, at least.

    A fish of its own name is one, however often. In a group nobody knows one from another: the
    slides of one site made on one local date are of as many fish as they say, a scrape and a clip
    may be of the same, and so may be those of another day. The most that had to be different is
    counted, never the sum.
    """
    return sum(_by_subject(slides, time_zone).values())


def _by_subject(slides: Iterable[Slide], time_zone: str) -> dict[str, int]:
    counted: dict[tuple[str, object, str], int] = defaultdict(int)
    for s in slides:
        counted[s.subject, local_day(s.at_utc, time_zone), s.site] += s.fish
    most: dict[str, int] = {}
    for (subject, _, _), fish in counted.items():
        most[subject] = max(fish, most.get(subject, 0))
    return most


def still_here(slides: Iterable[Slide], present: Sequence[Occupant], time_zone: str) -> int:
    """As `different_fish`, of those that are still here: a fish that left shows nothing of them.

    With nobody known to be here all of them are counted.
    """
    found = _by_subject(slides, time_zone)
    if not present:
        return sum(found.values())
    return sum(min(found.get(o.subject, 0), o.count) for o in present)


def is_weak(looked: int, group: int | None) -> bool:
    """True where half of the fish or more could be infected behind that many clean ones.

    Two fish of four or more are always weak evidence.
    """
    if group is None:
        return looked < 1 or excluded_share(looked) > 0.5
    least = least_excluded(min(looked, group), group)
    return least is None or 2 * (least - 1) >= group


def said(looked: int, group: int | None, finds: Fraction = Fraction(1)) -> str:
    """What so many clean fish speak against and what not, in words.

    `group` is how many fish are there, None where nobody knows; `finds` as in `chance_missed`.
    """
    if looked < 1:
        return "no fish that is still here, nothing is excluded"
    weak = ", weak evidence" if is_weak(looked, group) else ""
    if group is None or group < looked:
        share = excluded_share(looked, finds=float(finds)) * 100
        told = f"{looked} fish clean, of a number not known{weak}: "
        if share > 100:
            return told + "excludes no share"
        return told + f"speaks against {share:.0f} % infected or more (95 %), not against fewer"
    told = f"{looked} of {group} fish clean{weak}: "
    least = least_excluded(looked, group, finds)
    if least is None:
        return told + "does not even speak against all of them infected"
    if least == 1:
        return told + "speaks against any infected fish, as far as a slide shows it"
    fewer = f"{least - 1} or fewer" if least > 2 else "1"
    return told + f"speaks against {least} or more infected (95 %), not against {fewer}"
