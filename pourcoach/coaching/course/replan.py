"""Works out the rest of a plan again, so that the water comes out right."""

from collections.abc import Mapping
from dataclasses import replace

from pourcoach.coaching.course.bounds import tolerance_g
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.units import Grams, Seconds

LEAST_STAGE_G: Grams = 10.0
"""Smaller stages cannot be poured well and are joined: common practice."""
LEAST_APART_S: Seconds = 0.1
"""Stages of a plan must rise in time; only so much apart where one has caught up with the next."""


def shifted(plan: Plan, after: int, by_s: Seconds) -> Plan:
    """The stages after ``after``, and the finish, ``by_s`` later: rests stay as meant."""
    stages = list(plan.stages)
    for index in range(after + 1, len(stages)):
        start_s = max(stages[index].start_s + by_s, stages[index - 1].start_s + LEAST_APART_S)
        stages[index] = replace(stages[index], start_s=start_s)
    return replace(plan, stages=tuple(stages), finish_s=plan.finish_s + by_s)


def spread(plan: Plan, after: int, water_g: Grams) -> Plan:
    """The rest of the water over the stages left, once stage ``after`` ended at ``water_g``.

    The total stays. Stages that would become too small are joined; where the total is reached
    already, none are left.
    """
    stages = plan.stages
    total_g = stages[-1].to_g
    rest = stages[after + 1 :]
    if not rest:
        return plan
    if total_g - water_g < tolerance_g(plan, len(stages) - 1):
        return replace(plan, stages=stages[: after + 1])
    scale = (total_g - water_g) / (total_g - stages[after].to_g)
    kept: list[Stage] = []
    at_g = water_g
    for stage in rest:
        to_g = total_g - (total_g - stage.to_g) * scale
        last = stage is rest[-1]
        rises = to_g > stages[after].to_g and to_g - at_g >= LEAST_STAGE_G
        if rises or (last and not kept):
            kept.append(replace(stage, to_g=to_g))
            at_g = to_g
        elif last:
            kept[-1] = replace(kept[-1], to_g=to_g)
    return replace(plan, stages=(*stages[: after + 1], *kept))


def anchored(plan: Plan, begun_s: Mapping[int, Seconds]) -> Plan:
    """The plan with the stages already begun at the brew time they began."""
    stages = list(plan.stages)
    for index, stage in enumerate(stages):
        start_s = begun_s.get(index, stage.start_s)
        if index:
            start_s = max(start_s, stages[index - 1].start_s + LEAST_APART_S)
        if start_s != stage.start_s:
            stages[index] = replace(stage, start_s=start_s)
    return replace(plan, stages=tuple(stages))
