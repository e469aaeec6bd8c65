"""Stretches of a pour in which the flow was far from its usual flow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf
from statistics import fmean, median

from pourcoach.coaching.flow.trace import Sample, Trace
from pourcoach.domain.units import GramsPerSecond, Seconds

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
SURELY = 2.0
"""What lies so many of its errors off the limit is not beyond it."""
HOLE_STEPS, HOLE_S, SETTLES_S = 2.5, 0.25, 0.15
"""A hole of so many steps of the flow, and so long, is what a touch left: a single reading left out
makes a shorter one. The flow right beside it may yet be the touch's (simulated: of a scale that
swings after a knock, and of a smoother that smears a knock backwards)."""
RELEASED_S: Seconds = 8.0
"""A hand that leans on the scale does so for no longer (common practice)."""


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
    released_s: Seconds | None = None
    """When a hand let go of the platform soon after it: it may have leaned on it. That as much
    comes too little afterwards shows nothing, for so does a hand that heeds SLOW."""
    deviations: float = 0.0
    """How far ``level_gps`` lies off the usual flow, in standard deviations of the flow outside of
    the stretch, other stretches included; 0 where there is too little of it."""


def excursions(
    samples: Sequence[Sample], usual_gps: GramsPerSecond, limit_gps: GramsPerSecond
) -> Iterator[Excursion]:
    """Stretches beyond the limit: below it where it lies below the usual flow, else above.

    Two are one where a touch hides what is between them, or where that may have been beyond the
    limit for all that its errors say and the whole is so on average.

    Smoothing rounds a stretch's edges but leaves the moments half way there and half way back
    where they were, so a stretch is measured between those.
    """
    sign = 1.0 if limit_gps > usual_gps else -1.0
    unsettled = _unsettled(samples)
    place = 0
    while place < len(samples):
        if sign * (samples[place].flow_gps - limit_gps) <= 0.0:
            place += 1
            continue
        first, last = place, _last(samples, place, unsettled, usual_gps, limit_gps)
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


def _last(
    samples: Sequence[Sample],
    first: int,
    unsettled: Sequence[bool],
    usual_gps: GramsPerSecond,
    limit_gps: GramsPerSecond,
) -> int:
    """The last value beyond the limit of the stretch that begins with the ``first`` one."""
    sign = 1.0 if limit_gps > usual_gps else -1.0
    last = first
    for place in range(first + 1, len(samples)):
        is_beyond = sign * (samples[place].flow_gps - limit_gps) > 0.0
        if not is_beyond and unsettled[place]:
            continue
        hidden = is_beyond and all(unsettled[last + 1 : place])
        if samples[place].t_s - samples[last].t_s > (TOUCH_S if hidden else JOIN_S):
            between = samples[last + 1 : place if is_beyond else place + 1]
            if not _may_be_beyond(between, usual_gps, limit_gps):
                break
            mean_gps = fmean(sample.flow_gps for sample in samples[first : place + 1])
            if sign * (mean_gps - limit_gps) <= 0.0:
                continue
        if is_beyond:
            last = place
    return last


def _may_be_beyond(
    between: Sequence[Sample], usual_gps: GramsPerSecond, limit_gps: GramsPerSecond
) -> bool:
    """Whether values on this side of the limit are by their errors as likely beyond it as back at
    the usual flow."""
    if not between:
        return False
    error_gps = fmean(sample.error_gps for sample in between)
    near_gps = min(abs(usual_gps - limit_gps) / 2.0, SURELY * error_gps)
    return abs(fmean(sample.flow_gps for sample in between) - limit_gps) < near_gps


def _hole_from_s(samples: Sequence[Sample]) -> Seconds:
    """From how long between two values on it is a hole."""
    steps_s = [after.t_s - before.t_s for before, after in pairwise(samples)]
    return max(HOLE_STEPS * median(steps_s), HOLE_S) if steps_s else inf


def _unsettled(samples: Sequence[Sample]) -> Sequence[bool]:
    """Which come right before or after a hole."""
    least_s = _hole_from_s(samples)
    unsettled = [False] * len(samples)
    for after in range(1, len(samples)):
        before_s, after_s = samples[after - 1].t_s, samples[after].t_s
        if after_s - before_s < least_s:
            continue
        for place in range(after, len(samples)):
            if samples[place].t_s >= after_s + SETTLES_S:
                break
            unsettled[place] = True
        for place in range(after - 1, -1, -1):
            if samples[place].t_s <= before_s - SETTLES_S:
                break
            unsettled[place] = True
    return unsettled


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


def hidden(
    samples: Sequence[Sample],
    found: Sequence[Excursion],
    least_s: Seconds,
    pour_s: tuple[Seconds, Seconds],
    usual_gps: GramsPerSecond,
) -> Iterator[tuple[Seconds, Seconds]]:
    """Stretches that may have lasted ``least_s``: those of ``found`` that are too short by what
    is seen of them, with the hole in the flow beside them, in a pour that lasted ``pour_s``."""
    least_hole_s = _hole_from_s(samples)
    times_s = [pour_s[0], *(sample.t_s for sample in samples), pour_s[1]]
    for before_s, after_s in pairwise(times_s):
        hole_s = after_s - before_s
        if hole_s < least_hole_s:
            continue
        start_s, end_s, seen_s = before_s, after_s, 0.0
        for one in found:
            beside = _is_beside(one, before_s, after_s, usual_gps, samples)
            if beside and one.lasted_s < least_s:
                seen_s += one.lasted_s
                start_s, end_s = min(start_s, one.start_s), max(end_s, one.end_s)
        if seen_s > 0.0 and seen_s + hole_s >= least_s:
            yield start_s, end_s


def _is_beside(
    one: Excursion,
    before_s: Seconds,
    after_s: Seconds,
    usual_gps: GramsPerSecond,
    samples: Sequence[Sample],
) -> bool:
    """Whether the flow is nowhere back to half way between one and a hole in the flow, but for an
    edge."""
    half_gps = (one.level_gps + usual_gps) / 2.0
    sign = 1.0 if one.limit_gps > usual_gps else -1.0
    if one.start_s >= after_s:
        apart_s, from_s, to_s = one.start_s - after_s, after_s, one.start_s
    else:
        apart_s, from_s, to_s = before_s - one.end_s, one.end_s, before_s
    return abs(apart_s) < REACH_S or all(
        sign * (sample.flow_gps - half_gps) > 0.0
        for sample in samples
        if from_s <= sample.t_s <= to_s
    )


def with_release(surge: Excursion, trace: Trace) -> Excursion:
    """Return the surge with when a hand let go of the platform, if one did soon after it."""
    let_go_s = trace.let_go_within(surge.end_s, surge.end_s + RELEASED_S)
    return surge if let_go_s is None else replace(surge, released_s=let_go_s)
