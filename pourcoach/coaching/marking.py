"""A brew held against a rubric: which criteria are met, each with its figure."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pourcoach.coaching.bounds import is_bloom
from pourcoach.coaching.progress import RUN_ON_S
from pourcoach.coaching.rubric import Criterion, Measure, Rubric
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import Ending, StagePour

SLACK = 1e-9
"""A figure on its bound meets it whatever the last bit says."""
FIGURES = 4
"""Decimals told in JSON: finer than a scale can tell."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One criterion, and the stage it was held against where it has one."""

    criterion: Criterion
    stage: str | None
    value: float | None
    """In the measure's unit; None where it could not be judged."""

    @property
    def met(self) -> bool | None:
        """None where it could not be judged."""
        if self.value is None:
            return None
        return self.criterion.least - SLACK <= self.value <= self.criterion.most + SLACK


@dataclass(frozen=True, slots=True)
class Marks:
    """Criteria met with figures; no score hides behind them."""

    rubric: str
    marks: tuple[Mark, ...]

    @property
    def judged(self) -> int:
        """How many could be judged."""
        return sum(mark.met is not None for mark in self.marks)

    @property
    def met(self) -> int:
        """How many are met."""
        return sum(mark.met is True for mark in self.marks)

    @property
    def met_share(self) -> float | None:
        """Weight of those met over weight of those judged; None where none was."""
        judged = sum(mark.criterion.weight for mark in self.marks if mark.met is not None)
        met = sum(mark.criterion.weight for mark in self.marks if mark.met)
        return met / judged if judged else None

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "rubric": self.rubric,
            "met": self.met,
            "judged": self.judged,
            "met_share": None if self.met_share is None else round(self.met_share, FIGURES),
            "criteria": [
                {
                    "title": mark.criterion.title,
                    "measure": mark.criterion.measure.value,
                    "least": mark.criterion.least,
                    "most": mark.criterion.most,
                    "stage": mark.stage,
                    "value": None if mark.value is None else round(mark.value, FIGURES),
                    "met": mark.met,
                    "weight": mark.criterion.weight,
                }
                for mark in self.marks
            ],
        }


def mark(
    frame: Frame,
    plan: Plan | None,
    rubric: Rubric,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
) -> Marks:
    """Mark a finished brew (its last Frame) against the plan as it was given.

    What was not poured, was too short to judge or cannot be seen by a scale is not judged.
    With ``arrangement`` server-on-scale a rest is the end of the drip, so the time is known.
    """
    brew = _Brew(frame, plan, arrangement)
    marks = [
        Mark(criterion, stage, value)
        for criterion in rubric.criteria
        for stage, value in _MEASURES[criterion.measure](brew)
    ]
    return Marks(rubric.name, tuple(marks))


_Values = Iterator[tuple[str | None, float | None]]


class _Brew:
    """What the measures read."""

    def __init__(self, frame: Frame, plan: Plan | None, arrangement: Arrangement) -> None:
        self._weighed = arrangement is Arrangement.SERVER_ON_SCALE
        self.frame = frame
        self.state = frame.pour
        self.plan = plan
        self._poured = {stage.stage: stage for stage in frame.pour.stages}

    def later(self) -> Iterator[tuple[Stage, StagePour | None]]:
        """Every planned stage but the bloom, with what was poured for it."""
        if self.plan is not None:
            for index, stage in enumerate(self.plan.stages):
                if not is_bloom(self.plan, index):
                    yield stage, self._poured.get(stage.name)

    def bloom(self) -> tuple[Plan, StagePour | None] | None:
        """The plan and the bloom as poured; None where none was planned."""
        if self.plan is None or not is_bloom(self.plan, 0):
            return None
        return self.plan, self._poured.get(self.plan.stages[0].name)

    def begun_s(self, stage: StagePour | None) -> float | None:
        """Brew time of its first water."""
        start_s = self.state.brew_start_s
        return None if stage is None or start_s is None else stage.start_s - start_s

    def count(self, kind: FlagKind) -> float | None:
        """Flags of a kind; None where nothing was poured."""
        if not self.frame.pour.stages:
            return None
        return float(sum(flag.kind is kind for flag in self.frame.flags))

    def brew_s(self) -> float | None:
        """Brew time, where the end was told or weighed."""
        ending = self.state.ending
        told = ending in (Ending.KEY, Ending.LIFTED)
        told = told or (self._weighed and ending is Ending.RESTED)
        return self.state.brew_s if told else None

    def may_run_on(self, poured: StagePour) -> bool:
        """Whether the recording broke off while this stage's water ran."""
        ran_s, end_s = poured.end_s, self.state.end_s
        if self.state.ending is not Ending.TAPE or end_s is None:
            return False
        return ran_s is None or end_s - ran_s < RUN_ON_S

    def broken_off(self) -> bool:
        """Whether the recording ends before the plan's water is in: nobody knows what followed."""
        plan, state = self.plan, self.state
        if plan is None or state.ending is not Ending.TAPE:
            return False
        return plan.is_cut_short(state.water_g)


def _bloom_share(brew: _Brew) -> _Values:
    if bloom := brew.bloom():
        plan, poured = bloom
        mass_g = None if poured is None or brew.may_run_on(poured) else poured.mass_g
        yield plan.stages[0].name, None if mass_g is None else mass_g / plan.stages[0].to_g


def _bloom_wait(brew: _Brew) -> _Values:
    if (bloom := brew.bloom()) and len(bloom[0].stages) > 1:
        stage, poured = next(brew.later())
        begun_s = brew.begun_s(poured)
        yield stage.name, None if begun_s is None else begun_s - stage.start_s


def _landing_g(brew: _Brew) -> _Values:
    for stage, poured in brew.later():
        end_g = None if poured is None or brew.may_run_on(poured) else poured.end_g
        yield stage.name, None if end_g is None else end_g - stage.to_g


def _landing_share(brew: _Brew) -> _Values:
    for stage, poured in brew.later():
        end_g = None if poured is None or brew.may_run_on(poured) else poured.end_g
        yield stage.name, None if end_g is None else end_g / stage.to_g - 1.0


def _start(brew: _Brew) -> _Values:
    skipped = 1 if brew.bloom() or brew.plan is None else 0
    for place, (stage, poured) in enumerate(brew.later()):
        if place < skipped or stage.start_s == 0.0:
            continue
        begun_s = brew.begun_s(poured)
        yield stage.name, None if begun_s is None else begun_s - stage.start_s


def _flow_cv(brew: _Brew) -> _Values:
    for stage in brew.state.stages:
        yield stage.stage, stage.flow_cv


def _flow_share(brew: _Brew) -> _Values:
    planned = {} if brew.plan is None else {one.name: one.flow_gps for one in brew.plan.stages}
    for stage in brew.state.stages:
        flow_gps, planned_gps = stage.mean_flow_gps, planned.get(stage.stage)
        if planned_gps is not None:
            yield stage.stage, None if flow_gps is None else flow_gps / planned_gps - 1.0


def _water_g(brew: _Brew) -> _Values:
    if brew.plan is not None and brew.state.stages:
        yield None, None if brew.broken_off() else brew.state.water_g - brew.plan.water_g


def _water_share(brew: _Brew) -> _Values:
    if brew.plan is not None and brew.state.stages:
        yield None, None if brew.broken_off() else brew.state.water_g / brew.plan.water_g - 1.0


def _brew_share(brew: _Brew) -> _Values:
    brew_s = brew.brew_s()
    if brew.plan is not None:
        yield None, None if brew_s is None else brew_s / brew.plan.finish_s - 1.0


def _once(value: Callable[[_Brew], float | None]) -> Callable[[_Brew], _Values]:
    def values(brew: _Brew) -> _Values:
        yield None, value(brew)

    return values


_MEASURES: Mapping[Measure, Callable[[_Brew], _Values]] = {
    Measure.BLOOM_SHARE: _bloom_share,
    Measure.BLOOM_WAIT_OFF_S: _bloom_wait,
    Measure.LANDING_OFF_G: _landing_g,
    Measure.LANDING_OFF_SHARE: _landing_share,
    Measure.START_OFF_S: _start,
    Measure.FLOW_CV: _flow_cv,
    Measure.FLOW_OFF_SHARE: _flow_share,
    Measure.STALLS: _once(lambda brew: brew.count(FlagKind.STALL)),
    Measure.SURGES: _once(lambda brew: brew.count(FlagKind.SURGE)),
    Measure.WATER_OFF_G: _water_g,
    Measure.WATER_OFF_SHARE: _water_share,
    Measure.BREW_S: _once(_Brew.brew_s),
    Measure.BREW_OFF_SHARE: _brew_share,
}
