"""Forms for a vessel filled by the bucket: begun, one bucket more, full."""

from __future__ import annotations

from typing import Any

from intake.flows.facts.buckets import BucketFill
from intake.flows.facts.steps.fillings import before_at
from intake.flows.facts.things import Vessel
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import ACount, AName, AQuantity, AThing, Choice, NewName
from intake.flows.forms.readers import Asked as Reading
from intake.flows.forms.water import ZONES, kept_size
from intake.flows.size_doubts import SHARES
from intake.science.figures import figure
from intake.science.problem import Problem
from intake.science.spread import Size
from intake.science.volume import TrueVolume, compare, true_volume


def _filling(f: Filling) -> None:
    facts, name = f.book.facts, f.get("name")
    under_way = [b for b in facts.of_kind(BucketFill) if b.name == name and b.present]
    if under_way and under_way[0].id != f.entry:
        text = f"{name} is being filled already, {counted(under_way[0])}"
        f.fault("name-taken", "NAME", text, f"go on with: intake record bucket '{name}'")
    vessel = facts.vessel_named(name)
    if vessel is None:
        wrong = NewName().read(name, Reading(f.book, f.when, f.typed, f.entry))
        if isinstance(wrong, Problem):
            f.problems.append(wrong.placed("NAME"))
    else:
        _empty(f, vessel)
    q = f.get("bucket")
    half = q.half
    if half is None:
        half = float(q.value) * SHARES["bucket"]
        f.notes.assume(f"bucket is taken to {figure(SHARES['bucket'] * 100)} %")
    f.extra["bucket_l"] = {"value": float(q.value), "half": float(half)}
    f.notes.because.append(f"pour, then: intake record bucket '{name}'")


def _empty(f: Filling, vessel: Vessel) -> None:
    if f.book.facts.occupants([vessel.id]):
        text = f"fish live in {vessel.name}: it does not stand empty"
        f.fault("wrong-kind", "NAME", text, "move them first, or measure it with a tape")
    for name in ("zone", "system"):
        if f.get(name) is not None:
            text = f"{vessel.name} is here already and has its {name}"
            f.fault("wrong-kind", f"--{name}", text, "leave it out")
    f.refs["vessel"] = vessel.id
    f.notes.assume(f"{vessel.name} stands empty")


def counted(fill: BucketFill) -> str:
    """``12 buckets, 120 L``."""
    count = fill.count
    return f"{count} bucket{'' if count == 1 else 's'}, {figure(fill.litres, 4)} L"


def _bucket(f: Filling) -> None:
    fill = f.thing("name")
    assert isinstance(fill, BucketFill)
    if not fill.present and f.entry is None:
        f.fault("wrong-kind", "NAME", f"{fill.name} is full already", "begin again: filling")
    more = 1 if f.get("count") is None else int(f.get("count"))
    if more == 0 and f.get("depth") is None:
        f.fault("out-of-range", "--count", "no bucket and no depth", "--depth Q, or --count 1")
    f.extra["count_in"] = more
    if f.get("depth") is not None:
        f.extra["depth_cm"] = kept_size(f, "depth")
        _rises(f, fill, f.extra["depth_cm"]["value"])
    count = fill.count + more
    if f.entry is not None:
        count -= sum(m.count for m in fill.marks if m.entry == f.entry)
    f.answer |= {"count": count, "filled_l": count * fill.bucket.value}


def _rises(f: Filling, fill: BucketFill, depth_cm: float) -> None:
    last = [m.depth.value for m in fill.marks if m.depth is not None and m.entry != f.entry]
    if last and f.entry is None and depth_cm < last[-1]:
        text = f"{figure(depth_cm)} cm is under the {figure(last[-1])} cm read before"
        f.fault("out-of-range", "--depth", text, "read it again, or correct the one before")


def _filled(f: Filling) -> None:
    fill = f.thing("name")
    assert isinstance(fill, BucketFill)
    if not fill.present and f.entry is None:
        f.fault("wrong-kind", "NAME", f"{fill.name} is full already")
    table = fill.table()
    if fill.marks and fill.after_last_depth():
        text = f"{fill.after_last_depth()} buckets went in after the last depth"
        hint = f"intake record bucket '{fill.name}' --count 0 --depth Q"
        f.fault("reading-missing", "NAME", text, hint)
    f.stop_if_faulty()
    found: TrueVolume | Problem = Problem(
        "out-of-range", "the table has no mark", "read the depth after some buckets"
    )
    if table:
        found = true_volume("levels", {"depth": table[-1][0]}, levels=table)
    if isinstance(found, Problem):
        f.problems.append(found.placed("NAME"))
    f.stop_if_faulty()
    assert not isinstance(found, Problem)
    f.notes.assumptions += found.assumptions
    f.notes.warnings += found.warnings
    vessel = _vessel(f, fill, table, found)
    f.answer |= {
        "volume_l": found.volume_l,
        "volume_l_low": found.low_l,
        "volume_l_high": found.high_l,
        "table": [
            {
                "depth_cm": d.value,
                "volume_l": v.value,
                "volume_l_low": v.value - v.half,
                "volume_l_high": v.value + v.half,
            }
            for d, v in table
        ],
    }
    before = None if vessel is None or fill.made else before_at(vessel, table[-1][0])
    if before is not None:
        both = compare(before, found)
        f.answer |= {"gap_l": both.gap_l, "normalised": both.normalised, "agree": both.agree}
        f.notes.warnings += both.warnings


def _vessel(
    f: Filling, fill: BucketFill, table: list[tuple[Size, Size]], found: TrueVolume
) -> Vessel | None:
    """The vessel that was filled; one of a new name is written first."""
    there = f.book.facts.things.get(fill.vessel)
    if there is None:
        named = (v for v in f.book.facts.of_kind(Vessel) if v.name == fill.name and v.present)
        there = next(named, None)
    if isinstance(there, Vessel):
        f.extra |= {"vessel": there.id, "made": fill.made}
        return there
    number = f.book.append("vessel", _new(fill, table, found), at=f.when)
    f.extra |= {"vessel": number, "made": True}
    f.answer["vessel_entry"] = number
    return None


def _new(fill: BucketFill, table: list[tuple[Size, Size]], found: TrueVolume) -> dict[str, Any]:
    marks = " ".join(f"{figure(d.value)}cm:{v.value:.4f}L+/-{v.half:.4f}L" for d, v in table)
    line = table[-1][0]
    content: dict[str, Any] = {
        "name": fill.name, "shape": "levels", "table": marks,
        "depth": f"{line.value!r} cm +/- {line.half!r} cm",
        "sizes": {"depth": _kept(line)}, "inside": {},
        "lists": {"levels": [[_kept(d), _kept(v)] for d, v in table]},
        "volume_l": found.volume_l,
    }  # fmt: skip
    for name in ("zone", "system"):
        if getattr(fill, name):
            content[name] = getattr(fill, name)
    return content


def _kept(size: Size) -> dict[str, float]:
    return {"value": size.value, "half": size.half}


NAME = Field("name", AThing(("filling",)), "what is being filled", positional=True, required=True)

FORMS = (
    Form(
        "filling",
        "an empty vessel begun to be filled by the bucket",
        (
            Field("name", AName(), "a vessel that stands empty, or a new name", True, True),
            Field("bucket", AQuantity("volume"), "what one bucket holds", required=True),
            Field("zone", Choice(ZONES), "what lives there, of a new one"),
            Field("system", AName(), "the water system a new one shares"),
        ),
        _filling,
    ),
    Form(
        "bucket",
        "buckets poured in, and the depth then",
        (
            NAME,
            Field("count", ACount(0), "how many more, 1 where none is given"),
            Field("depth", AQuantity("length"), "from the floor up to the waterline now"),
        ),
        _bucket,
    ),
    Form("filled", "full: its table of depths and litres", (NAME,), _filled),
)
