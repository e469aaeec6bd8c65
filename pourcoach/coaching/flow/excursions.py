"""Stretches of a pour in which the flow was far from its usual flow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

from pourcoach.coaching.flow.trace import HOLE_S, Sample, Trace
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

JOIN_S: Seconds = 0.4
"""Dips or peaks closer together than this are one."""
TOUCH_S: Seconds = 2.0
"""Dips or peaks on both sides of a touch, which hides the flow, are one if it is no longer than
this."""
REACH_S: Seconds = 0.25
"""The longest edge; where the flow changes more slowly, the stretch is what lies beyond the
limit."""
EDGES_S: Seconds = 0.07
"""How long the flow is between half way and its limit, both edges together."""
RETURNS_S: Seconds = 8.0
"""A hand that leans on the scale, or pulls at it, does so for no longer (common practice)."""
RETURNED_SHARE = 0.65
"""Of what came too much, so much comes too little before or after where it was a weight that came
and went: the rest of it is the hand's own wander."""


@dataclass(frozen=True, slots=True)
class Excursion:
    """A stretch in which the flow was far from the usual flow of its pour."""

    start_s: Seconds
    end_s: Seconds
    """Start and end are half way between the usual flow and that of the stretch."""
    lasted_s: Seconds
    """How long the flow was beyond its limit."""
    level_gps: GramsPerSecond
    """The median flow of the stretch."""
    extreme_gps: GramsPerSecond
    """The lowest of a stall, the highest of a surge."""
    limit_gps: GramsPerSecond
    error_gps: GramsPerSecond
    """Standard error of ``level_gps``."""
    returned_s: tuple[Seconds, Seconds] | None = None
    """From when to when what it brought too much came too little, if nearly all of it did: it may
    have been a weight that came and went. None where the water stays, or nobody looked."""


def excursions(
    samples: Sequence[Sample], usual_gps: GramsPerSecond, limit_gps: GramsPerSecond
) -> Iterator[Excursion]:
    """Stretches beyond the limit: below it where it lies below the usual flow, else above.

    Smoothing rounds a stretch's edges but leaves the moments half way there and half way back
    where they were, so a stretch is measured between those.
    """
    sign = 1.0 if limit_gps > usual_gps else -1.0
    place = 0
    while place < len(samples):
        if sign * (samples[place].flow_gps - limit_gps) <= 0.0:
            place += 1
            continue
        first = last = place
        for after in range(place + 1, len(samples)):
            beyond = sign * (samples[after].flow_gps - limit_gps) > 0.0
            hidden = beyond and last == after - 1
            if samples[after].t_s - samples[last].t_s > (TOUCH_S if hidden else JOIN_S):
                break
            if beyond:
                last = after
        core = samples[first : last + 1]
        level_gps = median(sample.flow_gps for sample in core)
        half_gps = (level_gps + usual_gps) / 2.0
        first = _edge(samples, first, -1, half_gps, sign)
        last = _edge(samples, last, +1, half_gps, sign)
        # Each value stands for one spacing of the trace.
        span_s = samples[last].t_s - samples[first].t_s
        worst = max(core, key=lambda sample: sign * sample.flow_gps)
        yield Excursion(
            start_s=samples[first].t_s,
            end_s=samples[last].t_s,
            lasted_s=span_s + span_s / max(1, last - first) - EDGES_S,
            level_gps=level_gps,
            extreme_gps=worst.flow_gps,
            limit_gps=limit_gps,
            error_gps=worst.error_gps,
        )
        place = last + 1


def _edge(
    samples: Sequence[Sample], place: int, step: int, half_gps: GramsPerSecond, sign: float
) -> int:
    """From the outermost value beyond the limit on to the outermost one beyond half way."""
    at = place
    while 0 <= at + step < len(samples) and sign * (samples[at + step].flow_gps - half_gps) > 0.0:
        at += step
        if abs(samples[at].t_s - samples[place].t_s) > REACH_S:
            return place
    return at


def with_return(
    surge: Excursion, trace: Trace, whole: Sequence[Sample], usual_gps: GramsPerSecond
) -> Excursion:
    """Return the surge with when it was taken back, if it was: by a flow below the usual one after
    it or before it, in the pour's ``whole`` flow, or by a hand that let go of the platform."""
    first, last = _above(surge, whole, usual_gps)
    too_much_g = _beyond_g(whole[first : last + 1], usual_gps)
    start_s, end_s = whole[first].t_s, whole[last].t_s
    least_g = RETURNED_SHARE * too_much_g
    after = _until(whole[last:], usual_gps, least_g)
    if after is None:
        after = trace.let_go_within(end_s, end_s + RETURNS_S)
    if after is not None:
        return replace(surge, returned_s=(start_s, after))
    before = _until(whole[first::-1], usual_gps, least_g)
    return surge if before is None else replace(surge, returned_s=(before, end_s))


def _above(surge: Excursion, whole: Sequence[Sample], usual_gps: GramsPerSecond) -> tuple[int, int]:
    """From the first to the last value about it that lies above the usual flow."""
    middle_s = (surge.start_s + surge.end_s) / 2.0
    first = last = min(range(len(whole)), key=lambda i: abs(whole[i].t_s - middle_s))
    while first > 0 and whole[first - 1].flow_gps > usual_gps:
        first -= 1
    while last + 1 < len(whole) and whole[last + 1].flow_gps > usual_gps:
        last += 1
    return first, last


def _beyond_g(samples: Sequence[Sample], usual_gps: GramsPerSecond) -> Grams:
    return sum((a.flow_gps - usual_gps) * (b.t_s - a.t_s) for a, b in pairwise(samples))


def _until(samples: Sequence[Sample], usual_gps: GramsPerSecond, least_g: Grams) -> Seconds | None:
    """When so much has come too little, going along ``samples`` in either direction; None where
    that takes too long, or is not seen."""
    too_little_g = 0.0
    for one, other in pairwise(samples):
        passed_s = abs(other.t_s - one.t_s)
        if passed_s > HOLE_S or abs(other.t_s - samples[0].t_s) > RETURNS_S:
            break
        too_little_g += (usual_gps - other.flow_gps) * passed_s
        if too_little_g >= least_g:
            return other.t_s
    return None
