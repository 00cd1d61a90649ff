"""Whether a change of a protocol moves a limit: then it needs a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.science.parasite import Parasite
from intake.science.plan import Plan
from intake.science.rescue import Rescue
from intake.science.signs import Sign
from intake.science.targets import WaterTargets
from intake.science.treatment import Bound, Condition, Course, NeverMix, Treatment

if TYPE_CHECKING:
    from intake.rules.one_file import Content


def limit_moved(before: Content | None, after: Content | None) -> bool:
    """True where any number or word that lets, bars or warns is another than before.

    What cannot be read is compared with nothing: going from or to it counts as a move.
    """
    if before is None or after is None:
        return before is not after
    return limits_in(before) != limits_in(after)


def limits_in(content: Content) -> object:
    """All that limits something, without the sources that say so."""
    if isinstance(content, Treatment):
        return (
            content.status, content.counts, content.basis, content.from_label,
            content.after_change, content.residue_end, content.margin, content.masks,
            content.half_life_low_h, content.half_life_high_h, content.removed_by,
            content.solubility_g_l, content.crowded_over_g_l, _takes(content),
            tuple((x.kinds, x.hard) for x in content.sensitive),
            content.ammonia_tests and (content.ammonia_tests.from_dose,
                                       content.ammonia_tests.until_after_h),
            tuple((s.form, s.value, s.unit, s.counts_as, s.state) for s in content.strengths),
            tuple(_course(c) for c in content.courses),
        )  # fmt: skip
    if isinstance(content, Plan):
        return (
            content.days, content.floor_days,
            tuple((c.check, c.days, c.count, c.grade, c.low_c, c.high_c) for c in content.checks),
            (content.restarts.sign_grade, content.restarts.same_sign_fish,
             content.restarts.sign_days, content.restarts.death_after_day,
             content.restarts.stands_after_h),
            content.life_stages,
            tuple((p.treatment, p.course, p.from_day, p.to_day) for p in content.preventive),
            tuple(c.check for c in content.left_out),
        )  # fmt: skip
    if isinstance(content, WaterTargets):
        return (
            tuple(
                (stage, tuple((x.quantity, x.low, x.high, x.unit, x.brief_high) for x in limits))
                for stage, limits in sorted(content.stages.items())
            ),
            tuple((n, t.value, t.unit) for n, t in sorted(content.thresholds.items())),
        )
    if isinstance(content, Rescue):
        return (tuple((s.text, s.lines, s.waters) for s in content.do), content.amounts)
    return tuple(_listed(x) for x in content)


def _listed(x: NeverMix | Parasite | Sign) -> object:
    if isinstance(x, NeverMix):
        return (x.first, x.second, x.days, x.hard)
    if isinstance(x, Parasite):
        return (
            x.id, x.rule, x.low_c, x.high_c, x.doses, x.every, x.cycles, x.slack_d, x.look_d,
            tuple((n, tuple((f.rows, f.between, f.low_c, f.high_c) for f in fits))
                  for n, fits in x.times.items()),
        )  # fmt: skip
    return (x.id, x.urgency, x.infectious, x.nervous, x.grave, x.slide_from)


def _course(c: Course) -> object:
    return (
        c.name, c.route, c.unit, c.low, c.usual, c.high, tuple(_bound(b) for b in c.bounds),
        tuple(_condition(x) for x in c.conditions), c.duration_min_h, c.duration_max_h,
        (c.repeat.every_h, c.repeat.times, c.repeat.by_temperature) if c.repeat else None,
        (c.interval.not_before_h, c.interval.usual_every_h) if c.interval else None,
        tuple((s.target, s.after_h) for s in c.steps), c.stages, c.counts, c.adds, c.by_vet,
        (c.per.quantity, c.per.each, c.per.end, c.per.max_age_h, c.per.needed) if c.per else None,
        (c.asked_as.each, c.asked_as.comes_to) if c.asked_as else None,
        (c.rate.per_hour_c, c.rate.per_day_c) if c.rate else None,
    )  # fmt: skip


def _bound(b: Bound) -> object:
    return b.value, b.unit, b.hard, b.quantity, b.above, b.below, b.untried, b.code


def _condition(c: Condition) -> object:
    return c.quantity, c.low, c.high, c.unit, c.evidence, c.max_age_h, c.hard, c.warning


def _takes(t: Treatment) -> object:
    taken = t.oxygen_taken
    return taken and (taken.each, taken.unit, taken.takes_mg_l)
