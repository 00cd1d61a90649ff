"""What clean slides can and cannot exclude."""

from __future__ import annotations


def excluded_share(fish: int, confidence: float = 0.95) -> float:
    """The smallest infected share that `fish` clean animals exclude, were the test perfect.

    Parameters
    ----------
    fish
        Animals looked at and found clean, 1 or more.
    confidence
        How sure, above 0 and below 1.

    Returns
    -------
    float
        1 - (1 - confidence) ** (1 / fish): a share this large would have been missed with a chance
        of 1 - confidence only. Assumes a large group and that one slide finds every infection,
        which no slide does: the truth is weaker.

    Raises
    ------
    ValueError
        No fish, or a confidence outside 0 to 1.

    Source: binomial sampling; the 95 % rule is that of import inspection (Fisheries Western
    Australia, general quarantine conditions).

    >>> round(excluded_share(3), 2)
    0.63
    """
    if fish < 1 or not 0 < confidence < 1:
        raise ValueError("at least one fish, and a confidence between 0 and 1")
    return float(1 - (1 - confidence) ** (1 / fish))
