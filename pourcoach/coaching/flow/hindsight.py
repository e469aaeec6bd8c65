"""What the flow of a finished stage was like: its stalls, its surges, and how even the rest was."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import fsum, hypot, inf, sqrt
from statistics import fmean, median

from pourcoach.coaching.flow.doubtful import doubtful
from pourcoach.coaching.flow.excursions import JOIN_S, Excursion, excursions, with_release
from pourcoach.coaching.flow.trace import Sample, Trace
from pourcoach.domain.limits import FULL_SHARE, LONGEST_RAMP_S, FlagLimits
from pourcoach.domain.pour import StagePour, Unjudged
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.statistics.variance import variance_about

EDGE_S: Seconds = 0.35
"""A pour's first and last moments are its ramps, not a stall."""
GOES_ON_G: Grams = 3.0
"""Less water than this after a pause is a top-up."""
RUNS_SHARE = 0.5
"""Of the usual flow: what never comes up to it beside a pause is as slow as a hand that leans."""
AROUND_S: Seconds = 0.6
"""Left out on either side of a stall or a surge when the rest is judged for evenness."""
SETTLED_ERROR_SHARE = 0.1
"""Standard error, as a share, of evenness by the settled flow, which drumming enlarges
(assumed)."""
LEAST_SAMPLES = 20
"""About a second of flow."""


@dataclass(frozen=True, slots=True)
class FlowVerdict:
    """What the flow of one stage was like."""

    usual_gps: GramsPerSecond | None
    """The median flow; None if too little of it was clear."""
    stalls: tuple[Excursion, ...]
    surges: tuple[Excursion, ...]
    cv: float | None
    """Coefficient of variation without ramps, excursions and what may be one; None if too little is
    left."""
    cv_error: float | None
    unjudged: Unjudged | None = None
    """Why ``cv`` is None."""
    least_cv: float | None = None
    """The lower of ``cv`` and that of the settled flow alone, since a lost or repeated reading only
    ever adds to either."""
    hidden: tuple[tuple[Seconds, Seconds], ...] = ()
    """Stretches that may have been a stall or a surge, for all that the readings show."""
    mean_gps: GramsPerSecond | None = None
    """The mean flow between the ramps; None as ``usual_gps``."""


def judge_flow(
    stage: StagePour, trace: Trace, limits: FlagLimits, planned_gps: GramsPerSecond | None
) -> FlowVerdict:
    """Judge a stage whose pours have all ended; without a plan, against its own median flow."""
    runs = _runs(stage)
    steady = [
        sample
        for start_s, end_s in runs
        for sample in trace.clear(start_s + limits.ramp_up_s, end_s - limits.ramp_down_s)
    ]
    if not steady:
        return FlowVerdict(None, (), (), None, None, _why(stage))
    begin_s, end_s = runs[0][0], runs[-1][1]
    between_s = begin_s + EDGE_S, end_s - EDGE_S
    whole = trace.clear(*between_s)
    usual_gps = median(sample.flow_gps for sample in steady)
    if whole:
        # In a short pour what is left between the ramps may be a surge for half of the time.
        usual_gps = min(usual_gps, median(sample.flow_gps for sample in whole))
    steady = _between_ramps(steady, usual_gps, begin_s, end_s)
    mean_gps = fmean(sample.flow_gps for sample in steady) if steady else usual_gps
    low_gps = limits.stall_share * (usual_gps if planned_gps is None else planned_gps)
    high_gps = surge_from_gps(limits, usual_gps, planned_gps)
    dips = tuple(
        excursions(_at_rest_in_pauses(whole, stage, low_gps, limits.stall_s), usual_gps, low_gps)
    )
    peaks = tuple(excursions(whole, usual_gps, high_gps))
    stalls = tuple(
        dip
        for dip in dips
        if dip.lasted_s >= limits.stall_s
        and _runs_beside(trace, dip, usual_gps, (begin_s, end_s))
        and _water_g(trace, dip.end_s, end_s) >= GOES_ON_G
    )
    surges = tuple(with_release(peak, trace) for peak in peaks if peak.lasted_s >= limits.surge_s)
    stalls, surges = (
        tuple(
            _measured(one, usual_gps, _rest(stage, steady, [(one.start_s, one.end_s)]))
            for one in found
        )
        for found in (stalls, surges)
    )
    unclear = (
        *doubtful(trace, between_s, dips, usual_gps, low_gps, limits.stall_s),
        *doubtful(trace, between_s, peaks, usual_gps, high_gps, limits.surge_s),
    )
    # What may have been one is no more the hand's wander than what was.
    left_out = [*((one.start_s, one.end_s) for one in (*stalls, *surges)), *unclear]
    rest = _rest(stage, steady, left_out)
    if left_out:
        cv, cv_error = _of_the_rest(stage, steady, rest, limits)
        whole_cv, whole_error = _of_pours(stage)
        if cv is not None and whole_cv is not None and whole_cv < cv:
            # A part without its excursions is no less even: the settled flow is the rougher one.
            cv, cv_error = whole_cv, whole_error
    else:
        cv, cv_error = _of_pours(stage)
    least_cv = None
    if cv is not None:
        least_cv = min(cv, _bare_cv(rest)) if len(rest) >= LEAST_SAMPLES else cv
    why = _why(stage) if cv is None else None
    return FlowVerdict(usual_gps, stalls, surges, cv, cv_error, why, least_cv, unclear, mean_gps)


def surge_from_gps(
    limits: FlagLimits, usual_gps: GramsPerSecond, planned_gps: GramsPerSecond | None
) -> GramsPerSecond:
    """Return the flow above which a pour surges.

    The planned pace is no surge, however slow the rest of the pour, since MORE asks for it.
    """
    as_planned_gps = 0.0 if planned_gps is None else (1.0 + limits.pace_share) * planned_gps
    return max(limits.surge_share * usual_gps, as_planned_gps)


def _runs(stage: StagePour) -> list[tuple[Seconds, Seconds]]:
    """Beginning and end of each run of water; pours with hardly a pause between are one."""
    runs: list[tuple[Seconds, Seconds]] = []
    for pour in stage.pours:
        assert pour.end_s is not None
        if runs and pour.start_s - runs[-1][1] < JOIN_S:
            runs[-1] = runs[-1][0], pour.end_s
        else:
            runs.append((pour.start_s, pour.end_s))
    return runs


def _at_rest_in_pauses(
    samples: Sequence[Sample], stage: StagePour, low_gps: GramsPerSecond, least_s: Seconds
) -> list[Sample]:
    """With no flow between two pours of the stage, where the estimate found that no water ran for
    ``least_s`` and most of what was seen agrees, whatever the smoothing of a touch makes of the
    rest. Where a shorter pause lies exactly is not known of a noisy scale."""
    made = list(samples)
    for before, after in pairwise(stage.pours):
        if before.end_s is None or after.start_s - before.end_s < least_s:
            continue
        within = [
            place for place, one in enumerate(made) if before.end_s <= one.t_s <= after.start_s
        ]
        if within and median(made[place].flow_gps for place in within) < low_gps:
            for place in within:
                made[place] = made[place]._replace(flow_gps=0.0)
    return made


def _between_ramps(
    samples: Sequence[Sample], usual_gps: GramsPerSecond, start_s: Seconds, end_s: Seconds
) -> list[Sample]:
    """Where the flow has come up from one end and not yet left for the other."""
    full_gps = FULL_SHARE * usual_gps
    first, last = 0, len(samples)
    while (
        first < last
        and samples[first].flow_gps < full_gps
        and samples[first].t_s < start_s + LONGEST_RAMP_S
    ):
        first += 1
    while (
        last > first
        and samples[last - 1].flow_gps < full_gps
        and samples[last - 1].t_s > end_s - LONGEST_RAMP_S
    ):
        last -= 1
    return list(samples[first:last])


def _runs_beside(
    trace: Trace, dip: Excursion, usual_gps: GramsPerSecond, pour_s: tuple[Seconds, Seconds]
) -> bool:
    """Whether water runs before a dip and after it, and not only a hand comes or goes."""
    sides = trace.between(pour_s[0], dip.start_s), trace.between(dip.end_s, pour_s[1])
    least_gps = RUNS_SHARE * usual_gps
    return all(any(one.flow_gps >= least_gps for one in side) for side in sides)


def _water_g(trace: Trace, from_s: Seconds, to_s: Seconds) -> Grams:
    """What came in between, by the settled flow."""
    values = trace.between(from_s, to_s)
    return sum(a.flow_gps * (b.t_s - a.t_s) for a, b in pairwise(values))


def _rest(
    stage: StagePour, steady: Sequence[Sample], excursions: Sequence[tuple[Seconds, Seconds]]
) -> list[Sample]:
    """What lies outside the excursions, each from when to when."""
    left_out = [(start_s - AROUND_S, end_s + AROUND_S) for start_s, end_s in excursions]
    # Where one run was reported as two pours the estimate had lost the flow for a moment.
    left_out += [
        (before.end_s - AROUND_S, after.start_s + AROUND_S)
        for before, after in pairwise(stage.pours)
        if before.end_s is not None
    ]
    return [
        sample
        for sample in steady
        if not any(start_s <= sample.t_s <= end_s for start_s, end_s in left_out)
    ]


def _measured(one: Excursion, usual_gps: GramsPerSecond, others: Sequence[Sample]) -> Excursion:
    """With how far it stands out of the ``others``, the values of the flow outside of it."""
    if len(others) < LEAST_SAMPLES:
        return one
    flows = [sample.flow_gps for sample in others]
    deviation_gps = sqrt(variance_about(fmean(flows), flows))
    off_gps = abs(one.level_gps - usual_gps)
    return replace(one, deviations=off_gps / deviation_gps if deviation_gps > 0.0 else inf)


def _bare_cv(samples: Sequence[Sample]) -> float:
    """Of the settled flow as it is, smoothed."""
    flows = [sample.flow_gps for sample in samples]
    mean_gps = fmean(flows)
    return sqrt(variance_about(mean_gps, flows)) / mean_gps if mean_gps > 0.0 else 0.0


def _why(stage: StagePour) -> Unjudged:
    """Why the stage has no figure: as the longest of its pours that have none."""
    by_length = sorted(stage.pours, key=lambda pour: pour.duration_s or 0.0, reverse=True)
    return next((pour.unjudged for pour in by_length if pour.unjudged), Unjudged.TOO_SHORT)


def _of_pours(stage: StagePour) -> tuple[float | None, float | None]:
    """Of the pours that have a figure of their own, about one mean flow, each by its length."""
    judged = [pour for pour in stage.pours if pour.flow_cv is not None]
    if len(judged) == 1:
        return judged[0].flow_cv, judged[0].flow_cv_error
    measured = [
        (pour.duration_s, pour.mean_flow_gps, pour.flow_cv or 0.0, pour.flow_cv_error or 0.0)
        for pour in judged
        if pour.mean_flow_gps and pour.duration_s
    ]
    if not measured:
        return None, None
    whole_s = fsum(lasts_s for lasts_s, *_ in measured)
    mean_gps = fsum(lasts_s * flow_gps for lasts_s, flow_gps, *_ in measured) / whole_s
    square = fsum(
        lasts_s * ((cv * flow_gps) ** 2 + (flow_gps - mean_gps) ** 2)
        for lasts_s, flow_gps, cv, _ in measured
    )
    cv = sqrt(square / whole_s) / mean_gps
    if cv <= 0.0:
        return 0.0, max(error for *_, error in measured)
    by_each = (
        lasts_s * flow_gps**2 * one * error / (whole_s * mean_gps**2 * cv)
        for lasts_s, flow_gps, one, error in measured
    )
    return cv, hypot(*by_each)


def _of_the_rest(
    stage: StagePour, steady: Sequence[Sample], rest: Sequence[Sample], limits: FlagLimits
) -> tuple[float | None, float | None]:
    """Of what lies outside the excursions, by the settled flow: roughly.

    What smoothing leaves of the flow's variance is added back, as far as it is known.
    """
    if any(pour.unjudged in (Unjudged.NOISY, Unjudged.HIDDEN) for pour in stage.pours):
        return None, None
    ramps_s = limits.ramp_up_s + limits.ramp_down_s
    poured_s = sum(pour.duration_s or 0.0 for pour in stage.pours)
    left = len(rest) / len(steady)
    if poured_s * left < limits.uneven_from_s - ramps_s or len(rest) < LEAST_SAMPLES:
        return None, None
    flows = [sample.flow_gps for sample in rest]
    mean_gps = fmean(flows)
    unseen = fmean(sample.error_gps**2 for sample in rest)
    if mean_gps <= 0.0:
        return None, None
    cv = sqrt(variance_about(mean_gps, flows) + unseen) / mean_gps
    if cv <= 0.0:
        return None, None
    return cv, hypot(0.5 * unseen / (mean_gps * mean_gps * cv), SETTLED_ERROR_SHARE * cv)
