"""Where a pour lands that is stopped on the word, against the same hand with a perfect word."""

from dataclasses import dataclass
from random import Random
from statistics import fmean, pstdev

from pourcoach.domain.advice import Word, usual_cue
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.setup import USUAL_REACTION_S, Setup
from pourcoach.pipeline import Pipeline
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.scale.scale_model import ScaleModel
from tests.benchmarks.coaching.guided import DISPLAY_S, STEP_S, guided

MARK_G = 60.0
LISTENING = HandProfile(listens=True, obedience=1.0, wobble_cv=(0.04, 0.12))
LEARNT_AFTER = 6
"""Stops before the lead counts as learnt."""


@dataclass(frozen=True)
class Landing:
    """Off the mark, in grams, as the water left the spout."""

    flow_gps: float
    coached_g: float
    unled_g: float
    """The word came when the weight shown reached the mark."""
    perfect_g: float
    """The word came when the hand's usual slowness would land it."""


def landings(flow_gps: float, count: int, seed: int, rate_hz: float) -> list[Landing]:
    """One brewer stops again and again, the lead learnt from stop to stop."""
    reaction_s = USUAL_REACTION_S
    made: list[Landing] = []
    for number in range(count):
        plan = Plan(20.0, 3.0, MARK_G, 0.0, 60.0, (Stage("pour 1", 0.0, MARK_G, flow_gps),))
        one = seed + number
        scale = ScaleModel(rate_hz=rate_hz, noise_g=Random(one).choice((0.02, 0.03, 0.05)))

        def fresh(plan: Plan = plan, one: int = one, scale: ScaleModel = scale) -> SimulatedBrew:
            return SimulatedBrew(plan, LISTENING, one, scale)

        brew = fresh()
        pipeline = Pipeline(plan, Setup(reaction_s=reaction_s, display_delay_s=DISPLAY_S))
        until_s = brew.truth.first_water_s + MARK_G / flow_gps + 6.0
        learnt = [frame.reaction_s for frame in guided(brew, pipeline, until_s)][-1]
        reaction_s = learnt if learnt is not None else reaction_s
        unled_s, perfect_s = _words(fresh(), flow_gps, until_s)
        made.append(
            Landing(
                flow_gps,
                brew.truth.pours[0].end_g - MARK_G,
                _landed_g(fresh(), unled_s, until_s),
                _landed_g(fresh(), perfect_s, until_s),
            )
        )
    return made


def _words(brew: SimulatedBrew, flow_gps: float, until_s: float) -> tuple[float, float]:
    """When a scale's own figure reaches the mark, and when a perfect word would come.

    The hand is never cued to stop here, so its whole flow is known.
    """
    unled_s: float | None = None
    for reading in brew.advance_to(until_s):
        if unled_s is None and reading.grams >= MARK_G:
            unled_s = reading.t_s + DISPLAY_S
    closing_s = sum(LISTENING.ramp_down_s) / 2
    # Half the water of the way down still comes.
    slow_s = LISTENING.reaction_s + closing_s / 2
    step = 0
    while brew.truth.poured_g(step * STEP_S + slow_s) < MARK_G:
        step += 1
    assert unled_s is not None, f"{flow_gps} g/s never reached the mark"
    return unled_s, step * STEP_S


def _landed_g(brew: SimulatedBrew, word_s: float, until_s: float) -> float:
    brew.advance_to(word_s)
    brew.hear(usual_cue(Word.STOP, word_s), word_s)
    brew.advance_to(until_s)
    return brew.truth.pours[0].end_g - MARK_G


def spread(values: list[float]) -> tuple[float, float]:
    """Mean and standard deviation."""
    return fmean(values), pstdev(values)
