"""Working out a water change from typed readings: `intake water change`. No room is needed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from intake.flows.change_words import advice_keys, nh3, say, say_feed
from intake.flows.chlorine_words import say_chlorine, thiosulfate_for
from intake.flows.desk import load_protocols
from intake.flows.feeding import PROTEIN_SHARE, Feeding
from intake.flows.read_waters import ends
from intake.flows.reading_options import Reading, Typed
from intake.flows.usage import Usage
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.change_advice import ReadWater, advise
from intake.science.change_limits import ChangeLimits
from intake.science.dechlorination import tan_freed_n_mg_l
from intake.science.figures import figure
from intake.science.nitrification import tan_per_day_n_mg_l
from intake.science.quantity import Quantity
from intake.science.show import show
from intake.science.span import Span

THIN_KH_MEQ_L = MEQ_L_PER_DKH / 2
STEEP_PH = 9.0
"""KH up to which, and pH over which, pH turns on the last drop of the test. Source: the slope of
the alkalinity balance."""


def change(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water change`."""
    r = Reading(typed)
    if ("tap_ph" in typed) != ("tap_kh" in typed):
        raise Usage("water change takes --tap-ph and --tap-kh together")
    volume = r.quantity("volume", "volume")
    water = _water(r, r.tan())
    tap, freed = _tap(r, water)
    feed, limit = _feed(r), r.one("limit", "tan")
    percent = r.one("percent", "percent")
    r.need("ph", "kh", "temp", "tan", "tap_ph", "tap_kh", "tap_tan", "tap_temp")
    r.stop_if_faulty()
    assert volume is not None
    assert water is not None
    litres = _litres(volume)
    limits = load_protocols().water.change()
    if limit is not None:
        limits = replace(limits, nh3_n_mg_l=limit)
    made = None
    if feed is not None:
        made = tan_per_day_n_mg_l(feed.grams_a_day, feed.protein_share, litres.low)
        say_feed(r.notes, feed, made, litres.low)
    share = None if percent is None else percent / 100.0
    advice = advise(
        water, tap, limits, tan_per_day_n_mg_l=made, volume_l=litres.nominal, share=share
    )
    if tap is None or tap.pretended:
        r.notes.assume("new water: pH and KH as in the vessel, as nothing is given of the tap's")
    if water.tan_n_mg_l is None:
        r.notes.assume("total ammonia not tested: taken as none in the vessel now")
    say(r.notes, advice, limits, share, feed.grams_a_day if feed else None)
    _say_doubt(r, water, tap, limits, share)
    return {
        "volume_l": litres.nominal,
        "volume_l_low": litres.low,
        "volume_l_high": litres.high,
        "tan_per_day_mg_l": made,
        **advice_keys(advice, limits, share),
        **_chlorine(r, litres.high, share, freed),
        **r.notes.as_keys(),
    }


def _say_doubt(
    r: Reading,
    water: ReadWater,
    tap: ReadWater | None,
    limits: ChangeLimits,
    share: float | None,
) -> None:
    """Where pH turns on a drop of the KH test, what one more would make of the answer."""
    kh, ph = water.kh_meq_l, water.ph
    thin = kh.exact and not kh.nominal > THIN_KH_MEQ_L
    if not share or not (thin or (ph.exact and ph.nominal > STEEP_PH)):
        return
    wide = replace(
        water,
        kh_meq_l=Span(kh.low, kh.nominal, kh.high + MEQ_L_PER_DKH / 2),
        ph=Span(ph.low - 0.1, ph.nominal, ph.high + 0.1),
    )
    found = advise(wide, tap, limits, share=share)
    if found.likely is not None and found.worst_n_mg_l is not None:
        n = found.likely.nh3_n_mg_l
        r.notes.because.append(
            "half a degree more of KH and a tenth of a pH either way make that "
            f"{figure(n.low, 2)} to {figure(n.high, 2)}, at most {nh3(found.worst_n_mg_l)}"
        )


def _litres(q: Quantity) -> Span:
    value = float(q.value or 0)
    low = value if q.low is None else float(q.low)
    return Span(low, value, value if q.high is None else float(q.high))


def _water(r: Reading, tan: Quantity | None) -> ReadWater | None:
    ph = ends(r.quantity("ph", "ph"), "ph")
    kh = ends(r.quantity("kh", "alkalinity"), "kh")
    temp = ends(r.quantity("temp", "temperature"), "temp")
    salt = r.one("salt", "salt") or 0.0
    if ph is None or kh is None or temp is None:
        return None
    return ReadWater(ph, kh, temp, ends(tan, "tan"), salt)


def _tap(r: Reading, water: ReadWater | None) -> tuple[ReadWater | None, float]:
    """The new water, and the chlorine in it [mg/L]; None where nothing is given of it."""
    ph = ends(r.quantity("tap_ph", "ph"), "ph")
    kh = ends(r.quantity("tap_kh", "alkalinity"), "kh")
    tan = ends(r.quantity("tap_tan", "tan"), "tan")
    temp = ends(r.quantity("tap_temp", "temperature"), "temp")
    salt = r.one("tap_salt", "salt")
    # Too little thiosulfate leaves chlorine in the water, so a band counts by its high end.
    free = r.one("tap_chlorine", "chlorine", high=True) or 0.0
    bound = r.one("tap_chloramine", "chlorine", high=True) or 0.0
    if water is None or not any(name.startswith("tap_") for name in r.typed):
        return None, 0.0
    if bound:
        more = tan_freed_n_mg_l(bound)
        r.notes.because.append(
            f"chloramine of {show(bound, 'mg/L')} leaves {show(more, 'mg/L', digits=3)} of total "
            "ammonia as N when it is broken"
        )
        tan = (tan or Span(0.0, 0.0, 0.0)).map(lambda n: n + more)
    if temp is None:
        r.notes.assume("new water: as warm as the vessel")
    if salt is None and water.salt_g_l:
        r.notes.assume("new water: no salt in it")
    tap = ReadWater(
        ph or water.ph,
        kh or water.kh_meq_l,
        temp or water.temp_c,
        tan,
        salt or 0.0,
        pretended=ph is None,
    )
    return tap, free + bound


def _feed(r: Reading) -> Feeding | None:
    feed = r.one("feed", "feed", zero_ok=True)
    protein = r.one("protein", "percent")
    if feed is None:
        if "feed" not in r.typed:
            r.notes.assume("feed not given: what a day adds is not counted")
        return None
    if protein is None:
        r.notes.assume(
            f"protein not given: {figure(PROTEIN_SHARE * 100)} %, the high end of feeds"
        )
        return Feeding(feed, PROTEIN_SHARE)
    return Feeding(feed, protein / 100.0)


def _chlorine(
    r: Reading, volume_l: float, share: float | None, chlorine_mg_l: float
) -> dict[str, Any]:
    if not chlorine_mg_l:
        return {}
    changed_l = volume_l * share if share else None
    say_chlorine(r.notes, chlorine_mg_l, changed_l)
    return {"thiosulfate_pentahydrate_g": thiosulfate_for(chlorine_mg_l, changed_l)}
