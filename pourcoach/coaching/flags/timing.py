"""Whether a stage began on time, too early or too late."""

from pourcoach.coaching.course.bounds import earliest_s, is_bloom, latest_s
from pourcoach.coaching.course.course import Course
from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.confidence import probability_above
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Seconds

LEAST_ERROR_S: Seconds = 0.1
"""Least error of a pour's beginning: a scale is late and a first drop is small."""


def timing_flag(
    poured: Poured, course: Course, brew_start_s: Seconds, water_g: float, t_s: Seconds
) -> Flag | None:
    """Return the flag of a stage begun off its time, or None. Keeping to the original plan, to the
    current one or in between is no fault."""
    begun_s = poured.stage.start_s
    if 0 < poured.first <= course.last:
        flag = _off_time(poured.first, poured, course, brew_start_s, begun_s)
        if flag is not None:
            return flag
    if poured.first < poured.index <= course.last:
        # Poured straight on through a mark: the later stage began when the mark was passed.
        passed_s = _passed_s(poured, course.current.stages[poured.first].to_g, water_g, t_s)
        return _off_time(poured.first + 1, poured, course, brew_start_s, passed_s)
    return None


def _passed_s(poured: Poured, mark_g: float, water_g: float, t_s: Seconds) -> Seconds:
    """When the total went through ``mark_g``, at the pour's own mean flow."""
    for pour in poured.stage.pours:
        end_g = water_g if pour.end_g is None else pour.end_g
        end_s = t_s if pour.end_s is None else pour.end_s
        if end_g >= mark_g and end_g > pour.start_g:
            share = max(0.0, (mark_g - pour.start_g) / (end_g - pour.start_g))
            return pour.start_s + share * (end_s - pour.start_s)
    return poured.stage.start_s


def _off_time(
    index: int, poured: Poured, course: Course, brew_start_s: Seconds, begun_s: Seconds
) -> Flag | None:
    begun = begun_s - brew_start_s
    versions = course.versions(index)
    early = begun < min(earliest_s(*version) for version in versions)
    if not early and begun <= max(latest_s(*version) for version in versions):
        return None
    plan, place = min(versions, key=lambda one: abs(begun - one[0].stages[one[1]].start_s))
    allowed_s = earliest_s(plan, place) if early else latest_s(plan, place)
    due_s = plan.stages[place].start_s
    error_s = max(poured.stage.pours[0].start_error_s or 0.0, LEAST_ERROR_S)
    return Flag(
        kind=_kind(plan, place, early),
        start_s=begun_s if early else brew_start_s + due_s,
        end_s=brew_start_s + due_s if early else begun_s,
        stage=course.current.stages[index].name,
        confidence=probability_above(abs(begun - due_s), abs(allowed_s - due_s), error_s),
        evidence={
            "off_s": begun - due_s,
            "begun_s": begun,
            "planned_s": due_s,
            "allowed_s": abs(allowed_s - due_s),
            "error_s": error_s,
        },
        refined=poured.stage.pours[0].start_error_s is not None,
    )


def _kind(plan: Plan, index: int, early: bool) -> FlagKind:
    if index == 1 and is_bloom(plan, 0):
        return FlagKind.BLOOM_SHORT if early else FlagKind.BLOOM_LONG
    return FlagKind.EARLY if early else FlagKind.LATE
