"""What clean slides can and cannot exclude, and how many fish have to be looked at."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, comb, log

CONFIDENCE = Fraction(95, 100)
"""How sure an excluded number is. The 95 % of import inspection (Fisheries Western Australia,
general quarantine conditions).
"""


def chance_missed(
    looked: int, infected: int, group: int, finds: Fraction = Fraction(1)
) -> Fraction:
    """The chance that `looked` fish drawn from a group all come out clean, exactly.

    Parameters
    ----------
    looked
        Different fish looked at, 0 to `group`.
    infected
        Infected fish in the group, 0 to `group`.
    group
        Fish in the group, 1 or more; drawn by chance, none twice.
    finds
        The share of infected fish whose slide shows it, over 0 to 1. No figure for a keeper's
        slides was found: 1 is the best case.

    Raises
    ------
    ValueError
        A number outside its range.

    Source: the hypergeometric distribution; each infected fish in the sample is missed with the
    chance 1 - `finds`.

    >>> chance_missed(3, 5, 9)
    Fraction(1, 21)
    """
    if not 0 <= looked <= group or not 0 <= infected <= group or group < 1 or not 0 < finds <= 1:
        raise ValueError("looked and infected lie from 0 to the group, finds over 0 to 1")
    if finds == 1:  # every infected fish that is drawn shows it, so none may be
        return Fraction(comb(group - infected, looked), comb(group, looked))
    drawn = range(max(0, looked - (group - infected)), min(looked, infected) + 1)
    ways = sum(
        comb(infected, k) * comb(group - infected, looked - k) * (1 - finds) ** k for k in drawn
    )
    return Fraction(ways) / comb(group, looked)


def least_excluded(looked: int, group: int, finds: Fraction = Fraction(1)) -> int | None:
    """The smallest number of infected fish in a group that `looked` clean ones exclude.

    So many would all have been missed with a chance of 5 % at most; one fewer might still be
    there. None where the slides exclude no number at all, `looked` being 0 or `finds` small.

    Raises
    ------
    ValueError
        As `chance_missed`.

    >>> least_excluded(3, 9), least_excluded(9, 9), least_excluded(0, 9)
    (5, 1, None)
    """
    low, high = 1, group + 1
    while low < high:  # the chance falls with every infected fish more
        middle = (low + high) // 2
        if chance_missed(looked, middle, group, finds) <= 1 - CONFIDENCE:
            high = middle
        else:
            low = middle + 1
    return low if low <= group else None


def excluded_share(fish: int, confidence: float = 0.95, finds: float = 1.0) -> float:
    """The smallest infected share that `fish` clean animals of a large group exclude.

    Parameters
    ----------
    fish
        Animals looked at and found clean, 1 or more.
    confidence
        How sure, above 0 and below 1.
    finds
        As in `chance_missed`.

    Returns
    -------
    float
        (1 - (1 - confidence) ** (1 / fish)) / finds: a share this large would have been missed
        with a chance of 1 - confidence only. Over 1 where no share is excluded. Takes the group
        to be large beside the fish looked at, or of a size nobody knows.

    Raises
    ------
    ValueError
        No fish, or a confidence or `finds` outside its range.

    Source: binomial sampling; the 95 % rule is that of import inspection (Fisheries Western
    Australia, general quarantine conditions).

    >>> round(excluded_share(3), 2)
    0.63
    """
    if fish < 1 or not 0 < confidence < 1 or not 0 < finds <= 1:
        raise ValueError("at least one fish, and a confidence between 0 and 1")
    return float(1 - (1 - confidence) ** (1 / fish)) / finds


def fish_needed(share: float, group: int | None = None) -> int:
    """How many fish have to be looked at, and be clean, to exclude an infected share at 95 %.

    Parameters
    ----------
    share
        The infected share, over 0 to 1. In a group it is taken as whole fish, rounded down to
        one at least: the smaller number is the harder one to exclude.
    group
        Fish in the group, 1 or more; None for a large group or one of unknown size.

    Raises
    ------
    ValueError
        A share outside 0 to 1, or an empty group.

    Source: the hypergeometric and the binomial distribution.

    >>> fish_needed(0.10), fish_needed(0.05), fish_needed(0.10, group=50)
    (29, 59, 22)
    """
    if not 0 < share <= 1 or (group is not None and group < 1):
        raise ValueError("a share over 0 to 1, and a group of one or more")
    if group is None:
        return 1 if share == 1 else ceil(log(float(1 - CONFIDENCE)) / log(1 - share))
    # A hair, because 0.29 of 100 fish is 28.999999999999996 in binary.
    infected = max(1, int(share * group * (1 + 1e-12)))
    low, high = 1, group
    while low < high:
        middle = (low + high) // 2
        if chance_missed(middle, infected, group) <= 1 - CONFIDENCE:
            high = middle
        else:
            low = middle + 1
    return low
