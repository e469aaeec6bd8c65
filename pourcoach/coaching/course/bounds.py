"""How far a stage may differ from the plan: the same for cues, flags, replanning and the band."""

from collections.abc import Iterable

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds


def is_bloom(plan: Plan, index: int) -> bool:
    """Whether stage ``index`` is a bloom, which has its own bounds."""
    return index == 0 and plan.stages[0].name.lower().startswith("bloom")


def tolerance_g(plan: Plan, index: int) -> Grams:
    """Return how far off its mark stage ``index`` may end and still have landed."""
    limits, to_g = plan.limits, plan.stages[index].to_g
    if is_bloom(plan, index):
        return limits.bloom_share * to_g
    return max(limits.landing_g, limits.landing_share * to_g)


def landed_from_g(versions: Iterable[tuple[Plan, int]]) -> Grams:
    """Return the least total at which a stage has landed, by any of the ``versions``: plans, each
    with the stage's index in it."""
    return min(plan.stages[index].to_g - tolerance_g(plan, index) for plan, index in versions)


def earliest_s(plan: Plan, index: int) -> Seconds:
    """Return the brew time before which stage ``index`` (not the first) begins too early."""
    limits, start_s = plan.limits, plan.stages[index].start_s
    if index == 1 and is_bloom(plan, 0):
        # A plan that asks for a shorter bloom than the least is taken at its word.
        return max(start_s - limits.bloom_early_s, min(limits.bloom_least_s, start_s))
    return start_s - limits.stage_off_s


def latest_s(plan: Plan, index: int) -> Seconds:
    """Return the brew time after which stage ``index`` (not the first) begins too late."""
    limits, start_s = plan.limits, plan.stages[index].start_s
    if index == 1 and is_bloom(plan, 0):
        return start_s + limits.bloom_late_s
    return start_s + limits.stage_off_s
