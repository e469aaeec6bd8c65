"""A pour of a drill folded without a session: what the student does and sees, input by input."""

from collections.abc import Callable, Sequence
from functools import cache

from pourcoach.domain.inputs import Input, Reading, SelfEstimate, Shown
from pourcoach.domain.plan import Plan
from pourcoach.pipeline import Pipeline
from pourcoach.practice.assignment import Assignment, assigned
from pourcoach.practice.block.attempt import Attempt, Glance, Step
from pourcoach.practice.drill.drill import Drill
from pourcoach.practice.drill.drill_file import drill_from_toml
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import Part, Place
from pourcoach.simulation.brew import SimulatedBrew

SHORT = """
title = "Short"
task = "Pour {mark}."
server_ml = 100

[[pour]]
mass_g = 40
flow_gps = 8

[[judged]]
measure = "landing"
pour = 1
band = 4

[asks]
measure = "mass"
"""
WITH_RESULT = Place(Part.BLOCK, 2, 1, 5, result=True, delay_s=4.0)


def short_drill() -> Drill:
    return drill_from_toml("short", SHORT)


def short_task(place: Place = WITH_RESULT) -> tuple[Assignment, Plan]:
    return assigned(short_drill(), place, level=Level.PRACTISED, seed=1)


@cache
def short_readings(hand: str = "steady", seed: int = 1) -> tuple[Reading, ...]:
    """Until well after the longest delay."""
    _, plan = short_task()
    return tuple(SimulatedBrew(plan, hand, seed).advance_to(plan.stage_end_s(0) + 25.0))


def driven(
    assignment: Assignment,
    plan: Plan,
    inputs: Sequence[Input],
    says: Callable[[Attempt, float], float | None] = lambda attempt, t_s: 40.0,
) -> tuple[Attempt, list[tuple[Input, Glance]]]:
    """Fold the inputs, adding what a session would: each sight when it is due, and the estimate
    that ``says`` gives at a moment when one is asked for, or None to wait."""
    pipeline, attempt = Pipeline(plan), Attempt(assignment, plan)
    seen: list[tuple[Input, Glance]] = []

    def feed(item: Input) -> None:
        seen.append((item, attempt.feed(item, pipeline.feed(item))))

    for item in inputs:
        feed(item)
        due = attempt.due(item.t_s)
        if due is not None:
            feed(Shown(item.t_s, due))
        if attempt.step is Step.ASKING:
            value = says(attempt, item.t_s)
            if value is not None:
                feed(SelfEstimate(item.t_s, value))
    return attempt, seen
