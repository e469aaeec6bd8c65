"""How each measure of a rubric is taken from a finished brew."""

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from pourcoach.coaching.course.bounds import is_bloom
from pourcoach.coaching.course.stage_log import RUN_ON_S
from pourcoach.coaching.marking.rubric import Measure
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import Ending, Replan, StagePour


class CriterionFigure(NamedTuple):
    """The fields of a Mark after its criterion."""

    stage: str | None
    value: float | None
    seen: bool = True
    replan: Replan | None = None
    error: float = 0.0
    """Standard error of the value; 0 where it is negligible."""


Values = Iterator[CriterionFigure]


class MarkedBrew:
    """The finished brew as the measures need it."""

    def __init__(self, frame: Frame, plan: Plan | None, arrangement: Arrangement) -> None:
        self._weighed = arrangement is Arrangement.SERVER_ON_SCALE
        self.frame = frame
        self.state = frame.pour
        self.plan = plan
        self._poured = {stage.index: stage for stage in frame.pour.stages}
        in_force = frame.pour.plan
        self._marks_g = {} if in_force is None else {one.name: one.to_g for one in in_force.stages}

    def by_nature(self, figure: CriterionFigure) -> CriterionFigure:
        """Return the figure as hidden by its nature, and not left out, where only the server stands
        on the scale."""
        return figure._replace(seen=True) if self._weighed else figure

    def later(self) -> Iterator[tuple[Stage, StagePour | None]]:
        """Yield all planned stages but the bloom, with what was poured for each."""
        if self.plan is not None:
            for index, stage in enumerate(self.plan.stages):
                if not is_bloom(self.plan, index):
                    yield stage, self._poured.get(index)

    def bloom(self) -> tuple[Plan, StagePour | None] | None:
        """Return the plan and the bloom as poured; None if none was planned."""
        if self.plan is None or not is_bloom(self.plan, 0):
            return None
        return self.plan, self._poured.get(0)

    def landing(self, stage: Stage, poured: StagePour | None) -> tuple[float | None, Replan | None]:
        """Return how far beyond its mark a stage ended, g: the mark of the original plan or of a
        later one."""
        if poured is None or poured.end_g is None or self.may_run_on(poured):
            return None, None
        end_g, new_g = poured.end_g, self._marks_g.get(stage.name, stage.to_g)
        if new_g == stage.to_g:
            return end_g - stage.to_g, None
        low_g, high_g = sorted((stage.to_g, new_g))
        return end_g - min(max(end_g, low_g), high_g), self._replan_before(poured)

    def start(self, stage: Stage, poured: StagePour | None) -> tuple[float | None, Replan | None]:
        """Return how late a stage began, s: by its original time or as moved by what came
        before."""
        begun_s = self.begun_s(poured)
        if begun_s is None or poured is None:
            return None, None
        moved = [one for one in self.state.replans if one.off_s and one.at_s < poured.start_s]
        off_s = begun_s - stage.start_s
        if not moved:
            return off_s, None
        low_s, high_s = sorted((0.0, sum(one.off_s or 0.0 for one in moved)))
        return off_s - min(max(off_s, low_s), high_s), moved[-1]

    def _replan_before(self, poured: StagePour) -> Replan | None:
        """The newest change of the plan that this stage was poured by."""
        before = [one for one in self.state.replans if one.at_s < poured.pours[-1].start_s]
        return before[-1] if before else None

    def begun_s(self, stage: StagePour | None) -> float | None:
        """Return the brew time of its first water."""
        start_s = self.state.brew_start_s
        return None if stage is None or start_s is None else stage.start_s - start_s

    def count(self, kind: FlagKind) -> CriterionFigure:
        """Return the number of flags of a kind; None if there are none so far in a brew that broke
        off."""
        if not self.state.stages:
            return CriterionFigure(None, None)
        count = sum(flag.kind is kind for flag in self.frame.flags)
        if count == 0 and self.broken_off():
            return CriterionFigure(None, None, seen=False)
        return CriterionFigure(None, float(count))

    def brew_s(self) -> float | None:
        """Brew time, if the end was reported or weighed."""
        ending = self.state.ending
        known = ending in (Ending.KEY, Ending.LIFTED)
        known = known or (self._weighed and ending is Ending.RESTED)
        return self.state.brew_s if known else None

    def may_run_on(self, poured: StagePour) -> bool:
        """Whether the recording broke off while this stage's water ran."""
        ran_s, end_s = poured.end_s, self.state.end_s
        if self.state.ending is not Ending.TAPE or end_s is None:
            return False
        return ran_s is None or end_s - ran_s < RUN_ON_S

    def broken_off(self) -> bool:
        """Whether the recording ends before the plan's water is in."""
        plan, state = self.plan, self.state
        if plan is None or state.ending is not Ending.TAPE:
            return False
        return plan.is_cut_short(state.water_g)


def _bloom_share(brew: MarkedBrew) -> Values:
    if bloom := brew.bloom():
        plan, poured = bloom
        mass_g = None if poured is None or brew.may_run_on(poured) else poured.mass_g
        share = None if mass_g is None else mass_g / plan.stages[0].to_g
        yield CriterionFigure(plan.stages[0].name, share, seen=mass_g is not None)


def _bloom_wait(brew: MarkedBrew) -> Values:
    if (bloom := brew.bloom()) and len(bloom[0].stages) > 1:
        stage, poured = next(brew.later())
        begun_s = brew.begun_s(poured)
        off_s = None if begun_s is None else begun_s - stage.start_s
        yield CriterionFigure(stage.name, off_s, seen=begun_s is not None)


def _landing_g(brew: MarkedBrew) -> Values:
    for stage, poured in brew.later():
        off_g, replan = brew.landing(stage, poured)
        yield CriterionFigure(stage.name, off_g, off_g is not None, replan)


def _landing_share(brew: MarkedBrew) -> Values:
    for stage, poured in brew.later():
        off_g, replan = brew.landing(stage, poured)
        share = None if off_g is None else off_g / stage.to_g
        yield CriterionFigure(stage.name, share, off_g is not None, replan)


def _start(brew: MarkedBrew) -> Values:
    skipped = 1 if brew.bloom() or brew.plan is None else 0
    for place, (stage, poured) in enumerate(brew.later()):
        if place < skipped or stage.start_s == 0.0:
            continue
        off_s, replan = brew.start(stage, poured)
        yield CriterionFigure(stage.name, off_s, off_s is not None, replan)


def _flow_cv(brew: MarkedBrew) -> Values:
    for stage in brew.state.stages:
        yield CriterionFigure(stage.stage, stage.flow_cv, error=stage.flow_cv_error or 0.0)


def _flow_share(brew: MarkedBrew) -> Values:
    planned = () if brew.plan is None else brew.plan.stages
    for stage in brew.state.stages:
        if stage.index is not None and stage.index < len(planned):
            flow_gps, planned_gps = stage.mean_flow_gps, planned[stage.index].flow_gps
            share = None if flow_gps is None else flow_gps / planned_gps - 1.0
            yield CriterionFigure(stage.stage, share)


def _water_g(brew: MarkedBrew) -> Values:
    if brew.plan is not None:
        yield _water(brew, brew.state.water_g - brew.plan.water_g)


def _water_share(brew: MarkedBrew) -> Values:
    if brew.plan is not None:
        yield _water(brew, brew.state.water_g / brew.plan.water_g - 1.0)


def _water(brew: MarkedBrew, off: float) -> CriterionFigure:
    if not brew.state.stages:
        return CriterionFigure(None, None)
    return (
        CriterionFigure(None, None, seen=False) if brew.broken_off() else CriterionFigure(None, off)
    )


def _brew_s(brew: MarkedBrew) -> Values:
    yield CriterionFigure(None, brew.brew_s(), seen=not brew.broken_off())


def _brew_share(brew: MarkedBrew) -> Values:
    if brew.plan is not None:
        brew_s = brew.brew_s()
        share = None if brew_s is None else brew_s / brew.plan.finish_s - 1.0
        yield CriterionFigure(None, share, seen=not brew.broken_off())


def _stalls(brew: MarkedBrew) -> Values:
    yield brew.count(FlagKind.STALL)


def _surges(brew: MarkedBrew) -> Values:
    yield brew.count(FlagKind.SURGE)


MEASURES: Mapping[Measure, Callable[[MarkedBrew], Values]] = {
    Measure.BLOOM_SHARE: _bloom_share,
    Measure.BLOOM_WAIT_OFF_S: _bloom_wait,
    Measure.LANDING_OFF_G: _landing_g,
    Measure.LANDING_OFF_SHARE: _landing_share,
    Measure.START_OFF_S: _start,
    Measure.FLOW_CV: _flow_cv,
    Measure.FLOW_OFF_SHARE: _flow_share,
    Measure.STALLS: _stalls,
    Measure.SURGES: _surges,
    Measure.WATER_OFF_G: _water_g,
    Measure.WATER_OFF_SHARE: _water_share,
    Measure.BREW_S: _brew_s,
    Measure.BREW_OFF_SHARE: _brew_share,
}
