"""A change of water from the round: what it would do, and writing it down."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.change_here import Here, after_share, here
from intake.flows.change_words import next_due, nh3, percent, say
from intake.flows.crash_words import dkh, short_lines
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import share_of, waters
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded
from intake.flows.notes import Notes
from intake.flows.read_waters import NewWater, chlorine_of, ends
from intake.flows.record import record
from intake.flows.views.change import ChangeView
from intake.flows.views.parts import Recorded
from intake.science.blend import Water
from intake.science.change_advice import ChangeAdvice, Moment
from intake.science.figures import figure
from intake.science.problem import Problem, Refused
from intake.science.quantity import Quantity, read_quantity
from intake.science.show import show

KINDS = {"temp": "temperature", "kh": "alkalinity", "salt": "salt"}
"""What may be said of the new water on the screen, and the kind of quantity it is."""
NOT_TESTED = "the tap was never tested: r, tap water"


def foretold(desk: Desk, vessel: str, typed: Mapping[str, str]) -> ChangeView:
    """What the change that is typed would do, as the record of it will say; nothing is written."""
    with at_work(desk) as book:
        found = book.facts.vessel_named(vessel)
        assert found is not None
        system, notes = book.facts.system_of(found), Notes()
        known = here(book, system, found, book.now, notes, _new_water(book, typed))
        if known is None:
            return ChangeView((), because=notes.assumptions[-1])
        share = _share(book, system, found, typed)
        try:
            advice = known.advice(share)
        except Refused as why:
            return ChangeView((), because=f"pH and ammonia cannot be worked out: {why.text}")
        return _view(book, known, advice, share, notes)


def _read(book: Book, text: str, kind: str) -> Quantity | None:
    found = read_quantity(text, kind, comma=book.facts.comma)
    return None if isinstance(found, Problem) or found.value is None else found


def _new_water(book: Book, typed: Mapping[str, str]) -> NewWater:
    said = {n: _read(book, typed[n], kind) for n, kind in KINDS.items() if typed.get(n)}
    salt = said.get("salt")
    return NewWater(
        temp_c=ends(said.get("temp"), "temp"),
        salt_g_l=None if salt is None else float(salt.value or 0),
        kh_meq_l=ends(said.get("kh"), "kh"),
    )


def _share(book: Book, system: System, vessel: Vessel, typed: Mapping[str, str]) -> float | None:
    """The share of all the water that is typed; None where nothing readable is."""
    text = typed.get("volume", "").strip()
    kind = "percent" if text.endswith("%") else "volume"
    amount = _read(book, text, kind) if text else None
    all_l = waters(book.facts, system)[0]
    if amount is None or all_l <= 0.0:
        return None
    changed_l = float(amount.value or 0)
    if kind == "percent":
        own = share_of(system, [book.facts.vessel(v) for v in system.vessels], vessel)[0]
        changed_l *= own / 100.0
    return min(1.0, changed_l / all_l)


def _view(
    book: Book, known: Here, advice: ChangeAdvice, share: float | None, notes: Notes
) -> ChangeView:
    then = None if share is None else after_share(known, advice, share)
    rows = [
        ("pH", _ph(advice.now), _ph_after(advice)),
        ("NH3, mg/L as N", _nh3(advice.now), _nh3_after(advice)),
        *_mixed_rows(known, advice),
        ("next change due", _due(advice, "no feed recorded"), _due(then, "")),
    ]
    told = Notes()
    say(told, advice, known.limits, share)
    cares = [w.text for w in told.warnings if w.code != "ph-crash"]
    if advice.crash or advice.acid_untested:
        cares.insert(0, crash_short(advice, known.limits.nh3_n_mg_l, share))
    if known.tap.pretended:
        cares.append(NOT_TESTED)
    chlorine = sum(chlorine_of(book))
    if chlorine:
        cares.append(
            f"{show(chlorine, 'mg/L')} of chlorine in the tap: out of it before it goes in"
        )
    return ChangeView(
        tuple(rows),
        cares=tuple(cares),
        limit=f"{figure(known.limits.nh3_n_mg_l)} mg/L as N",
        crash=advice.crash,
        do=short_lines(advice.plan) if advice.plan else (),
        because=_because(known, advice, notes),
    )


def _ph(moment: Moment) -> str:
    low, high = figure(moment.ph.low, 3), figure(moment.ph.high, 3)
    return low if low == high else f"{low} to {high}"


def _ph_after(advice: ChangeAdvice) -> str:
    if advice.likely is None or advice.after is None:
        return ""
    return f"{_ph(advice.likely)}, in open air {figure(advice.after.open_air.ph, 3)}"


def _nh3(moment: Moment) -> str:
    low, high = figure(moment.nh3_n_mg_l.low, 2), figure(moment.nh3_n_mg_l.high, 2)
    return low if low == high else f"{low} to {high}"


def _nh3_after(advice: ChangeAdvice) -> str:
    if advice.likely is None or advice.worst_n_mg_l is None:
        return ""
    return f"{_nh3(advice.likely)}, at most {figure(advice.worst_n_mg_l, 2)}"


def _due(advice: ChangeAdvice | None, unknown: str) -> str:
    due = None if advice is None else next_due(advice)
    return unknown if due is None else f"{due[0]}, for {due[1]}"


def _mixed_rows(known: Here, advice: ChangeAdvice) -> list[tuple[str, str, str]]:
    """What mixes: total ammonia, warmth, KH, and salt where there is any."""
    now = _mixed(advice.before)
    then = _mixed(advice.after.mixed) if advice.after else ("",) * len(now)
    labels = ("TAN, mg/L as N", "temperature", "KH", "salt")
    salted = advice.before.salt_g_l or known.tap.salt_g_l
    rows = list(zip(labels, now, then, strict=True))
    return rows if salted else rows[:-1]


def _mixed(water: Water) -> tuple[str, ...]:
    return (
        figure(water.tan_n_mg_l, 2),
        f"{figure(water.temp_c, 3)} C",
        dkh(water.alk_meq_l),
        show(water.salt_g_l, "g/L"),
    )


def _because(known: Here, advice: ChangeAdvice, notes: Notes) -> str:
    if advice.crash:
        return (
            "in acid water ammonia is ammonium; whatever raises the pH turns it into NH3. "
            "Nothing is held back: what you do is recorded."
        )
    said = "; ".join(t for t in notes.assumptions if "as read" in t or "new water" in t)
    fed = known.fed.assumed[0] if known.fed else "feed not recorded, key g does"
    return f"likely at this vessel's own CO2, at most in open air; {fed}" + (
        f"; {said}" * bool(said)
    )


def crash_short(advice: ChangeAdvice, limit: float, share: float | None) -> str:
    """The crash in a line or two."""
    if advice.acid_untested and not advice.crash:
        return "acid water, its ammonia not tested: test TAN before much is changed"
    air = advice.now_open_air.nh3_n_mg_l.high
    if share is None or advice.worst_n_mg_l is None:
        alone = f"air alone {nh3(air, limit)}, limit {figure(limit)}"
        return f"pH crash: raising the pH makes NH3, {alone}"
    return (
        f"pH crash: {percent(share)} of this water makes NH3 up to "
        f"{nh3(advice.worst_n_mg_l, limit)}, limit {figure(limit)}"
    )


def change(desk: Desk, vessel: str, typed: Mapping[str, str]) -> Recorded:
    """One water change, by volume or per cent; what it took out of a treatment is offered next."""
    given = {k: v for k, v in typed.items() if v.strip()}
    volume = given.pop("volume", "")
    name = "percent" if volume.strip().endswith("%") else "volume"
    with as_unreadable():
        answer = record(desk, "change", {"subject": vessel, name: volume, **given})
    back = [r for r in answer.get("residue", ()) if r["after_change"] == "replace"]
    text = "; ".join(
        f"{r['treatment']} goes from {figure(r['before'], 3)} to {figure(r['after'], 3)} "
        f"{r['unit']}, d doses it"
        for r in back
    )
    return recorded(
        desk,
        answer,
        f"{vessel}: {show(answer['changed_l'], 'L')} changed",
        next_text=text,
        offer="dose" if back else "",
    )
