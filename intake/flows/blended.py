"""`intake water blend`: two waters mixed, between the ends their readings leave."""

from __future__ import annotations

from typing import Any

from intake.flows.crossing import span_of
from intake.flows.reading_options import Reading, Typed
from intake.science.blend_ends import mixture
from intake.science.carbonate import PH_RANGE, SALT_RANGE_G_L, TEMP_RANGE_C
from intake.science.figures import figure
from intake.science.kit import DILUTE, dilution_text
from intake.science.quantity import Quantity
from intake.science.span import Span, as_span

KINDS = {
    "ph": ("ph", PH_RANGE),
    "kh": ("alkalinity", None),
    "temp": ("temperature", TEMP_RANGE_C),
    "tan": ("tan", None),
    "salt": ("salt", SALT_RANGE_G_L),
    "gh": ("hardness", None),
}
"""Each reading of a water, in order: its kind, and the range an open end is cut to."""
NEEDED = ("ph", "kh", "temp")
OPEN = {
    "tan": ("tan_n_mg_l", "nh3_n_mg_l", "nh3_activity_n_mg_l", "aired.nh3_n_mg_l",
            "at_b_co2.nh3_n_mg_l"),
    "kh": ("alk_meq_l", "dic_mmol_l"),
    "salt": ("salt_g_l",),
}  # fmt: skip
"""What has no upper end where a reading has none."""


def blended(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water blend`: what is conserved is mixed, pH is solved."""
    r = Reading(typed)
    share = r.quantity("share", "share")
    asked = {s: {n: r.quantity(f"{s}_{n}", KINDS[n][0]) for n in KINDS} for s in "ab"}
    r.need("share", *(f"{s}_{n}" for s in "ab" for n in NEEDED))
    r.stop_if_faulty()
    assert share is not None
    a, b = ([_span(r, s, n, asked[s][n]) for n in KINDS] for s in "ab")
    found = mixture(a, b, as_span(span_of(share, "share") or 0.0))
    if found.left_out:
        r.notes.assume("readings that cannot be one water are left out of the ends")
    banded = not all(span.exact for span in (*a, *b)) or share.low != share.high
    ends: dict[str, tuple[float, float, float | None]] = {
        name: (span.nominal, span.low, span.high) for name, span in found.ends.items()
    }
    for name, grown in OPEN.items():
        if any((q := asked[s][name]) is not None and q.high is None for s in "ab"):
            for key in grown:
                ends[key] = (*ends[key][:2], None)
    ph, open_air = found.ends["ph"], found.ends["aired.ph"]
    r.notes.because.append(
        f"closed, the mixture is pH {_said(ph)}; in balance with air it is {_said(open_air)}"
    )
    return {**_keys(ends, banded=banded), **r.notes.as_keys()}


def _said(ph: Span) -> str:
    if figure(ph.low, 3) == figure(ph.high, 3):
        return figure(ph.nominal, 3)
    return f"{figure(ph.low, 3)} to {figure(ph.high, 3)}"


def _span(r: Reading, side: str, name: str, q: Quantity | None) -> Span:
    """A reading between its ends, 0 where it was left out; an open end is taken far and said."""
    if q is None or q.value is None:
        return Span(0.0, 0.0, 0.0)
    span = as_span(span_of(q, name) or 0.0)
    if q.high is not None and q.low is not None:
        return span
    bounds = KINDS[name][1]
    if bounds is not None and bounds[0] <= span.nominal <= bounds[1]:
        high = bounds[1] if q.high is None else min(span.high, bounds[1])
        low = max(span.low, bounds[0]) if q.low is not None else bounds[0]
        span = Span(low, span.nominal, high)
    more = f"; {dilution_text(DILUTE)}" if name == "tan" else ""
    r.notes.warn("kit-cannot-show", f"{side} {name} {q.text} is open on one side{more}")
    r.notes.assume(f"{side} {name} taken as {figure(span.low)} to {figure(span.high)}")
    return span


def _keys(ends: dict[str, tuple[float, float, float | None]], *, banded: bool) -> dict[str, Any]:
    """The keys of the answer, those of a state of the water under its name."""
    keys: dict[str, Any] = {}
    for name, (value, low, high) in ends.items():
        state, _, key = name.rpartition(".")
        under = keys.setdefault(state, {}) if state else keys
        under[key] = value
        if banded:
            under |= {f"{key}_low": low, f"{key}_high": high}
    return keys
