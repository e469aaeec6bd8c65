"""Whether a stage ended on its mark, beyond it or below."""

from pourcoach.coaching.course.bounds import is_bloom, tolerance_g
from pourcoach.coaching.course.course import Course
from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.confidence import probability_above
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.units import Grams, Seconds

LIVE_ERROR_G: Grams = 0.5
"""Error of a total reported live, which may still settle."""
LEAST_ERROR_G: Grams = 0.15
"""Least error of a total: drips, splashes and evaporation, on any scale."""


def landing_flag(
    poured: Poured, course: Course, water_g: Grams, t_s: Seconds, *, over: bool
) -> Flag | None:
    """Return the flag of a stage off its mark, or None.

    Keeping to the original plan, to the current one or in between is no fault. While the stage is
    not ``over``, only water beyond its mark is judged. A pour that no stage asked for is measured
    against the last mark.
    """
    index = min(poured.index, course.last)
    end_g = poured.stage.end_g
    now_g = water_g if end_g is None else end_g
    marks = [plan.stages[place].to_g for plan, place in course.versions(index)]
    off_g = now_g - min(max(now_g, min(marks)), max(marks))
    plan = course.current
    allowed_g = tolerance_g(plan, index)
    if abs(off_g) <= allowed_g or (off_g < 0 and not over):
        return None
    if is_bloom(plan, index):
        kind = FlagKind.BLOOM_HEAVY if off_g > 0 else FlagKind.BLOOM_LIGHT
    else:
        kind = FlagKind.OVERSHOOT if off_g > 0 else FlagKind.SHORT
    pour = poured.stage.pours[-1]
    error_g = LIVE_ERROR_G if pour.mass_error_g is None else max(pour.mass_error_g, LEAST_ERROR_G)
    end_s = t_s if pour.end_s is None else pour.end_s
    return Flag(
        kind=kind,
        start_s=poured.stage.start_s,
        end_s=end_s,
        stage=poured.stage.stage,
        confidence=probability_above(abs(off_g), allowed_g, error_g),
        evidence={
            "off_g": off_g,
            "allowed_g": allowed_g,
            "mark_g": now_g - off_g,
            "reached_g": now_g,
            "error_g": error_g,
        },
        refined=pour.refined,
    )
