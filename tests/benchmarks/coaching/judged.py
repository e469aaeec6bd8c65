"""One simulated brew through the pipeline, its flags set against what really happened."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import inf
from statistics import fmean, median, pstdev

from pourcoach.domain.advice import Flag, FlagKind, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Begin, Silence
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from pourcoach.session.brew import SILENCE_S
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import Start
from pourcoach.simulation.scale.outages import Arriving
from pourcoach.simulation.ticks import TICK_S
from pourcoach.simulation.truth import MadeFault
from tests.benchmarks.coaching.cases import Case

BY_TIME = {
    FlagKind.STALL: 1.0,
    FlagKind.SURGE: 1.0,
    FlagKind.DISTURBED: 2.5,
    FlagKind.LIFTED: 2.5,
    FlagKind.GAP: 1.0,
}
"""Kinds matched by time, and how far apart flag and fault may lie; the others by stage."""
EXCURSIONS = (FlagKind.STALL, FlagKind.SURGE)
SAME_S = 1.0
"""A flag reported again with its beginning moved by less is the same."""
TOUCH_S = 0.3
RAMP_S = 0.35
"""A pour's first and last moments, in which nothing is a stall."""


AROUND_S = 0.6
"""On either side of a stall or a surge the flow is still on its way."""


@dataclass
class Reported:
    """One flag of the end result."""

    flag: Flag
    true: bool


@dataclass
class Judged:
    """What came of one case."""

    case: Case
    reported: list[Reported]
    """In hindsight."""
    live: set[FlagKind]
    """Kinds reported at any moment."""
    missed: list[MadeFault]
    found: list[tuple[MadeFault, float | None]]
    """With how long after its beginning it was first reported."""
    brew: SimulatedBrew
    """With its truth."""
    last: Frame
    """In hindsight."""
    cues: Counter[Word] = field(default_factory=Counter)
    """How often each word came."""
    pouring_s: float = 0.0


def judge(case: Case) -> Judged:
    """Simulate, follow, compare."""
    brew = SimulatedBrew(case.plan, case.hand, case.seed, case.scale, case.arrangement, case.faults)
    readings = brew.run()
    under = case.arrangement is Arrangement.SERVER_ON_SCALE
    if under:
        readings += brew.advance_to(readings[-1].t_s + 15.0)
    pipeline = Pipeline(case.plan, Setup(arrangement=case.arrangement))
    first_reported: dict[tuple[FlagKind, str | None, int], float] = {}
    cues: Counter[Word] = Counter()
    word: Word | None = None
    begun = False
    flags: tuple[Flag, ...] = ()
    for item in with_silences(brew.arriving(readings)):
        if under and not begun and item.t_s >= brew.truth.first_water_s:
            pipeline.feed(Begin(item.t_s))
            begun = True
        frame = pipeline.feed(item)
        if frame.cue.word is not word:
            word = frame.cue.word
            cues[word] += 1
        if frame.flags is not flags:
            flags = frame.flags
            for flag in flags:
                first_reported.setdefault(_key(flag), frame.t_s)
    last = pipeline.finish(readings[-1].t_s)
    flags = last.flags
    touches = [
        MadeFault(FlagKind.DISTURBED, event.t_s, event.t_s + TOUCH_S, None, 0.0)
        for event in brew.truth.events
        if event.what == "touch"
    ]
    names = [stage.name for stage in case.plan.stages]
    faults = [
        fault
        for fault in brew.truth.faults
        if fault.kind not in EXCURSIONS and not _follows(fault, case)
    ]
    if not under:
        faults += excursions(brew, case)
        faults += unevenness(brew, case, faults)
    faults += touches
    reported = [
        Reported(flag, any(_same(flag, fault, names) for fault in faults)) for flag in flags
    ]
    missed, found = [], []
    uneven = {fault.stage for fault in faults if fault.kind is FlagKind.UNEVEN}
    for fault in faults:
        # A touch is too short to be missed; a dip or a peak of an uneven pour is its unevenness.
        wanders = fault.kind in EXCURSIONS and fault.stage in uneven
        if fault in touches or wanders:
            continue
        hits = [flag for flag in flags if _same(flag, fault, names)]
        if not hits:
            inside = [one for one in faults if one.kind in EXCURSIONS and one.stage == fault.stage]
            was_reported = any(_same(flag, one, names) for flag in flags for one in inside)
            if not (
                fault.kind is FlagKind.UNEVEN
                and was_reported
                and _cv_but_for(inside, fault.stage, brew, case) <= case.plan.limits.uneven_cv
            ):
                missed.append(fault)
            continue
        found.append((fault, _delay_s(fault, hits, first_reported)))
    pouring_s = sum(pour.end_s - pour.start_s for pour in brew.truth.pours)
    kinds = {kind for kind, _, _ in first_reported}
    return Judged(case, reported, kinds, missed, found, brew, last, cues, pouring_s)


def with_silences(items: Sequence[Arriving]) -> Iterator[Arriving | Silence]:
    """As a session feeds them: time passes while nothing comes."""
    last_s = items[0].t_s
    for item in items:
        while item.t_s - last_s > SILENCE_S:
            last_s = round(last_s + SILENCE_S, 4)
            yield Silence(last_s)
        last_s = item.t_s
        yield item


def excursions(brew: SimulatedBrew, case: Case) -> list[MadeFault]:
    """Stalls and surges by definition, on the true flow: whatever was ordered or happened."""
    truth, limits = brew.truth, case.plan.limits
    made: list[MadeFault] = []
    for index, stage in enumerate(case.plan.stages):
        runs = [pour for pour in truth.pours if pour.stage == index]
        if not runs:
            continue
        first_tick = round((runs[0].start_s + RAMP_S) / TICK_S)
        last_tick = round((runs[-1].end_s - RAMP_S) / TICK_S)
        times = [tick * TICK_S for tick in range(first_tick, last_tick)]
        steady = [
            truth.flow_gps(t_s)
            for run in runs
            for t_s in times
            if run.start_s + limits.ramp_up_s < t_s < run.end_s - limits.ramp_down_s
        ]
        low_gps = limits.stall_share * stage.flow_gps
        high_gps = limits.surge_share * median(steady) if steady else inf
        for kind, least_s, outside in (
            (FlagKind.STALL, limits.stall_s, lambda flow, low=low_gps: flow < low),
            (FlagKind.SURGE, limits.surge_s, lambda flow, high=high_gps: flow > high),
        ):
            run_s: list[float] = []
            for t_s in [*times, inf]:
                if t_s < inf and outside(truth.flow_gps(t_s)):
                    run_s.append(t_s)
                elif run_s:
                    if run_s[-1] - run_s[0] >= least_s:
                        lasted_s = run_s[-1] - run_s[0]
                        made.append(MadeFault(kind, run_s[0], run_s[-1], index, lasted_s))
                    run_s = []
    return made


def unevenness(brew: SimulatedBrew, case: Case, faults: list[MadeFault]) -> list[MadeFault]:
    """Uneven stages by definition, beside those ordered: a dip too short for a stall and a peak too
    short for a surge are part of how the water came."""
    limits = case.plan.limits
    made: list[MadeFault] = []
    for index in range(len(case.plan.stages)):
        runs = [pour for pour in brew.truth.pours if pour.stage == index]
        within = [one for one in faults if one.stage == index]
        long_enough = sum(run.end_s - run.start_s for run in runs) >= limits.uneven_from_s
        if not long_enough or any(one.kind is FlagKind.UNEVEN for one in within):
            continue
        cv = _cv_but_for([one for one in within if one.kind in EXCURSIONS], index, brew, case)
        if cv > limits.uneven_cv:
            made.append(MadeFault(FlagKind.UNEVEN, runs[0].start_s, runs[-1].end_s, index, cv))
    return made


def _cv_but_for(
    inside: list[MadeFault], stage: int | None, brew: SimulatedBrew, case: Case
) -> float:
    """Of the true flow of a stage outside its stalls and surges: what those do to evenness is
    reported with them."""
    truth, limits = brew.truth, case.plan.limits
    flows = [
        truth.flow_gps(tick * TICK_S)
        for run in truth.pours
        if run.stage == stage
        for tick in range(
            round((run.start_s + limits.ramp_up_s) / TICK_S),
            round((run.end_s - limits.ramp_down_s) / TICK_S),
        )
        if not any(
            one.start_s - AROUND_S <= tick * TICK_S <= one.end_s + AROUND_S for one in inside
        )
    ]
    return pstdev(flows) / fmean(flows) if flows else 0.0


def _follows(fault: MadeFault, case: Case) -> bool:
    """Whether a stage is off its first time only because one before it was late by order: one
    fault is one flag. What only the bed did cannot be seen from the server's weight either."""
    late = [one.stage for one in case.faults if isinstance(one, Start) and one.off_s > 0]
    after = fault.kind is FlagKind.LATE and any(stage < (fault.stage or 0) for stage in late)
    under = case.arrangement is Arrangement.SERVER_ON_SCALE
    return after or (under and fault.kind is not FlagKind.SLOW_DRAIN)


def _delay_s(
    fault: MadeFault,
    hits: list[Flag],
    first_reported: dict[tuple[FlagKind, str | None, int], float],
) -> float | None:
    """From the fault's beginning to the first word of the flag that is left of it in the end.

    None where that flag began before the fault: it was reported of something else (a touch just
    before a knock is one disturbance with it), and when the fault was noticed cannot be said.
    """
    by_time = fault.kind in BY_TIME
    flag = min(hits, key=lambda hit: abs(hit.start_s - fault.start_s))
    if by_time and flag.start_s < fault.start_s - SAME_S:
        return None
    times = [
        t_s
        for (kind, stage, half_s), t_s in first_reported.items()
        if kind is flag.kind
        and (abs(half_s / 2 - flag.start_s) <= SAME_S if by_time else stage == flag.stage)
    ]
    return min(times) - fault.start_s if times else None


def _key(flag: Flag) -> tuple[FlagKind, str | None, int]:
    """The same flag, reported again a little differently, keeps this key."""
    return flag.kind, flag.stage, round(2 * flag.start_s) if flag.kind in BY_TIME else 0


def _same(flag: Flag, fault: MadeFault, names: list[str]) -> bool:
    if flag.kind is not fault.kind:
        return False
    if flag.kind in BY_TIME:
        slack_s = BY_TIME[flag.kind]
        return flag.start_s <= fault.end_s + slack_s and flag.end_s >= fault.start_s - slack_s
    return fault.stage is None or flag.stage == names[fault.stage]
