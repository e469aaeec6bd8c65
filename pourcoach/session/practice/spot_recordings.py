"""Recordings to be watched for a fault: simulated ones with their truth, and a class's own."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.units import Seconds
from pourcoach.practice.spotting.trial import (
    KINDS,
    SURE,
    SpotKind,
    Window,
    kind_of,
    times_limit,
)
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.tape import Tape, TapeHeader, read_tape
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import Knock, Landing, OrderedFault, Stall, Start, Surge, Uneven
from pourcoach.simulation.truth import MadeFault

# A minute of brewing: long enough for three stages, short enough for a dozen of them in a sitting.
PLAN = Plan(
    10.0,
    17.0,
    170.0,
    18.0,
    62.0,
    (
        Stage("bloom", 0.0, 30.0, 5.0),
        Stage("pour 1", 18.0, 100.0, 5.0),
        Stage("pour 2", 42.0, 170.0, 5.0),
    ),
)
END_S: Seconds = 4.0
"""Shown after the last pour."""
NOTHING_WRONG = 0.25
"""Share of recordings without a fault, so that a press must be earned; chosen."""
# Sizes at the limits from which the program notes each (pourcoach.domain.limits), so that equal
# levels are equally far from being noted. A knock has no such limit: its size is chosen.
_STALL_SHARE = 0.1
_SURGE_S: Seconds = 1.4
_KNOCK_G = 6.0
_LONG_STAGES = (1, 2)
_REST_BEFORE_S = 8.0
_ENDS_S: Seconds = 1.0


@dataclass(frozen=True, slots=True)
class Watchable:
    """A recording with what is wrong in it."""

    tape: Tape
    windows: tuple[Window, ...]
    level_db: float | None
    simulated: bool
    title: str


def simulated_recording(seed: int, level_db: float) -> Watchable:
    """One fault of that size, of a kind and in a stage drawn by ``seed``; now and then none."""
    chance = Random(f"spot {seed}")
    if chance.random() < NOTHING_WRONG:
        return _simulated(seed, (), None, None)
    kind = chance.choice(KINDS)
    stage = chance.choice(_LONG_STAGES)
    return _simulated(seed, (_fault(kind, stage, times_limit(level_db), chance),), kind, level_db)


def kept_recording(path: Path) -> Watchable:
    """A class's own, judged by the program's sure findings.

    Raises WorkError where it cannot be read.
    """
    tape = read_tape(path)
    last = final_frame(tape)
    flags = () if last is None else last.flags
    faults = tuple(
        Window(flag.start_s, flag.end_s, kind)
        for flag in flags
        if flag.confidence >= SURE and (kind := kind_of(flag.kind)) is not None
    )
    doubtful = [flag for flag in flags if flag.confidence < SURE]
    quiet = [
        window
        for window in _stages(last)
        if not any(
            window.start_s <= flag.end_s and flag.start_s <= window.end_s for flag in doubtful
        )
        and not any(_overlap(window, fault) for fault in faults)
    ]
    windows = tuple(sorted((*faults, *quiet), key=lambda window: window.start_s))
    return Watchable(tape, windows, None, False, path.name)


def _fault(kind: SpotKind, stage: int, times: float, chance: Random) -> OrderedFault:
    limits = PLAN.limits
    match kind:
        case SpotKind.UNEVEN:
            return Uneven(stage, limits.uneven_cv * times)
        case SpotKind.STALL:
            return Stall(stage, limits.stall_s * times, _STALL_SHARE)
        case SpotKind.SURGE:
            return Surge(stage, _SURGE_S, 1 + (limits.surge_share - 1) * times)
        case SpotKind.OFF_MARK:
            return Landing(stage, chance.choice((-1, 1)) * limits.landing_g * times)
        case SpotKind.WRONG_TIME:
            return Start(stage, min(limits.stage_off_s * times, _REST_BEFORE_S * 4))
        case _:
            return Knock(PLAN.stages[stage].start_s - 4.0, _KNOCK_G * times)


def _simulated(
    seed: int, faults: Sequence[OrderedFault], kind: SpotKind | None, level_db: float | None
) -> Watchable:
    brew = SimulatedBrew(PLAN, "steady", seed, faults=faults)
    until_s = brew.truth.first_water_s + PLAN.stage_end_s(len(PLAN.stages) - 1) + END_S
    if isinstance(next(iter(faults), None), Start | Landing | Stall):
        until_s += 12.0
    inputs: tuple[Input, ...] = tuple(brew.advance_to(until_s))
    tape = Tape(TapeHeader(plan=PLAN), inputs, until_s)
    made = [
        Window(_seen_from_s(fault, kind, brew.truth.first_water_s), fault.end_s, kind)
        for fault in brew.truth.faults
        if kind is not None and kind_of(fault.kind) is kind
    ][:1]
    quiet = [w for w in _stages(final_frame(tape)) if not any(_overlap(w, each) for each in made)]
    windows = tuple(sorted((*made, *quiet), key=lambda window: window.start_s))
    return Watchable(tape, windows, level_db if made else None, True, "a simulated brew")


def _seen_from_s(fault: MadeFault, kind: SpotKind, first_water_s: Seconds) -> Seconds:
    """When there is something to be seen: a pour that is late from the moment it was due, and one
    off its mark when it ends."""
    if kind is SpotKind.WRONG_TIME and fault.stage is not None:
        return min(fault.start_s, first_water_s + PLAN.stages[fault.stage].start_s)
    if kind is SpotKind.OFF_MARK:
        return max(fault.start_s, fault.end_s - _ENDS_S)
    return fault.start_s


def _stages(last: Frame | None) -> list[Window]:
    """Each stage with the wait after it, as poured."""
    if last is None:
        return []
    starts = [stage.start_s for stage in last.pour.stages]
    return [
        Window(start_s, end_s)
        for start_s, end_s in zip(starts, [*starts[1:], last.t_s], strict=True)
    ]


def _overlap(one: Window, other: Window) -> bool:
    return one.start_s <= other.end_s and other.start_s <= one.end_s
