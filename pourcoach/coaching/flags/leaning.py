"""A stall and a surge that make up for each other, or a surge soon before a hand let go of the
platform: somebody may have leaned on the scale."""

from collections.abc import Iterator

from pourcoach.coaching.flow.excursions import Excursion
from pourcoach.coaching.flow.hindsight import FlowVerdict
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.units import Grams, Seconds

LEANS_S: Seconds = 8.0
"""A hand leans on the scale, or pulls at it, for no longer at its two ends together."""
MOST_LEAN_G: Grams = 15.0
"""And no harder: common practice."""
SAME_TIMES = 2.0
"""What is missing and what comes too much are the same within this factor: the limits of a stall
and of a surge cut off unlike parts of a lean's two ends."""
MAYBE = 0.5
"""Confidence: the hand may as well have stalled and caught up."""


def leaning_flags(verdict: FlowVerdict, stage: str) -> list[Flag]:
    """Return a disturbance for each stretch that may be a lean: of a stall and a surge first, in
    the order of the stalls, then of a surge before a hand let go."""
    return [_maybe(*lean, stage) for lean in _leans(verdict)]


def _maybe(start_s: Seconds, end_s: Seconds, missing_g: Grams, stage: str) -> Flag:
    evidence = {"lasted_s": end_s - start_s, "jump_g": 0.0, "missing_g": missing_g}
    return Flag(FlagKind.DISTURBED, start_s, end_s, stage, MAYBE, evidence, refined=True)


def is_within(one: Excursion, leans: list[Flag]) -> bool:
    """Whether a stall or a surge is part of one of these."""
    return any(lean.start_s <= one.start_s and one.end_s <= lean.end_s for lean in leans)


def _leans(verdict: FlowVerdict) -> Iterator[tuple[Seconds, Seconds, Grams]]:
    usual_gps = verdict.usual_gps or 0.0
    left = list(verdict.surges)
    for stall in verdict.stalls:
        missing_g = (usual_gps - stall.level_gps) * (stall.end_s - stall.start_s)
        for surge in left:
            apart_s = max(stall.start_s, surge.start_s) - min(stall.end_s, surge.end_s)
            more_g = (surge.level_gps - usual_gps) * (surge.end_s - surge.start_s)
            if (
                apart_s < LEANS_S
                and max(missing_g, more_g) < MOST_LEAN_G
                and max(missing_g, more_g) < SAME_TIMES * min(missing_g, more_g)
            ):
                left.remove(surge)
                start_s = min(stall.start_s, surge.start_s)
                yield start_s, max(stall.end_s, surge.end_s), missing_g
                break
    for surge in left:
        more_g = (surge.level_gps - usual_gps) * (surge.end_s - surge.start_s)
        if surge.released_s is not None and more_g < MOST_LEAN_G:
            yield surge.start_s, surge.released_s, more_g
