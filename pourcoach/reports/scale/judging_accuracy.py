"""How well pours can be judged on a scale: its noise, step and rate under simulated pours."""

import math
from collections.abc import Iterator

from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Pour
from pourcoach.estimation.estimator import Estimator
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profiles import PROFILES
from pourcoach.simulation.scale.scale_model import ScaleModel
from pourcoach.simulation.truth import TruePour
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.figures.pace import Pace
from pourcoach.weighing.figures.rest import Rest

# Pours of 10 s, one after the other: long enough to be judged, short enough to be usual.
POUR_S = 10.0
FLOW_GPS = 5.0
REST_S = 4.0
POURS_A_BREW = 5
# From as even as a practised hand to some way past the limit of evenness: errors count where the
# judgement is made.
HANDS = ("steady", "learning")
BREWS = 6
"""Of each hand."""
# The simulated world moves in 5 ms: a faster scale is simulated as this fast.
FASTEST_HZ = 150.0
# A true and an estimated pour are the same where beginnings and ends are this near.
SAME_S = 1.5


def judging_accuracy(rest: Rest, pace: Pace) -> JudgingAccuracy | None:
    """Errors of the estimator on simulated brews, some fifty pours; None where it finds no pours.

    Takes the noise for white, arrival as the scale's pace has it, and the hand, the bed and the
    platform for the simulator's.
    """
    scale = scale_like(rest, pace)
    plan = _plan()
    errors: list[float] = []
    starts_s: list[float] = []
    lengths_s: list[float] = []
    for hand in HANDS:
        for seed in range(1, BREWS + 1):
            for true, found in _pours(SimulatedBrew(plan, PROFILES[hand], seed, scale)):
                starts_s.append(found.start_s - true.start_s)
                if found.flow_cv is not None and true.flow_cv is not None:
                    errors.append(found.flow_cv - true.flow_cv)
                    lengths_s.append(true.end_s - true.start_s)
    if not errors:
        return None
    return JudgingAccuracy(
        len(errors),
        _root_mean_square(errors),
        sum(errors) / len(errors),
        _root_mean_square(starts_s),
        sum(lengths_s) / len(lengths_s),
    )


def scale_like(rest: Rest, pace: Pace) -> ScaleModel:
    """A simulated scale with what was measured of a real one."""
    step_g = rest.step or 0.0
    # What was measured holds the rounding already: the simulator adds its own.
    white_g = math.sqrt(max(rest.noise**2 - step_g**2 / 12, 0.0))
    return ScaleModel(
        rate_hz=min(pace.rate_hz, FASTEST_HZ),
        resolution_g=step_g,
        noise_g=white_g,
        flicker_g=0.0,
        jitter_s=pace.jitter_s,
        sends_time=pace.stamped,
        sends_sequence=pace.missed is not None,
    )


def _plan() -> Plan:
    stages = tuple(
        Stage(
            f"pour {number + 1}",
            number * (POUR_S + REST_S),
            (number + 1) * POUR_S * FLOW_GPS,
            FLOW_GPS,
        )
        for number in range(POURS_A_BREW)
    )
    water_g = stages[-1].to_g
    return Plan(
        dose_g=water_g / 16,
        ratio=16.0,
        water_g=water_g,
        bloom_s=POUR_S + REST_S,
        finish_s=POURS_A_BREW * (POUR_S + REST_S) + 30.0,
        stages=stages,
    )


def _pours(brew: SimulatedBrew) -> Iterator[tuple[TruePour, Pour]]:
    """True pours with what the estimator made of them in hindsight."""
    estimator = Estimator()
    readings = brew.run()
    for reading in readings:
        estimator.feed(reading)
    found = estimator.close(readings[-1].t_s).pours
    for true in brew.truth.pours:
        for pour in found:
            ends_s = pour.end_s if pour.end_s is not None else math.inf
            if max(abs(pour.start_s - true.start_s), abs(ends_s - true.end_s)) < SAME_S:
                yield true, pour


def _root_mean_square(values: list[float]) -> float:
    return math.sqrt(sum(value * value for value in values) / len(values))
