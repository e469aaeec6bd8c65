"""What has been poured, sorted into stages and judged, and the plan that follows from it."""

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from pourcoach.coaching.course.bounds import earliest_s, landed_from_g
from pourcoach.coaching.course.course import Course
from pourcoach.coaching.course.stages import Grouping, Poured
from pourcoach.coaching.flow.hindsight import FlowVerdict, judge_flow
from pourcoach.coaching.flow.trace import Trace
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending, Pour, StagePour
from pourcoach.domain.units import Grams, Seconds

RUN_ON_S: Seconds = 2.0
"""Water that ended so shortly before a recording broke off might have gone on: a pause in pouring
or a stall lasts no longer (common practice)."""


class StageLog:
    """Keeps the stages of one brew. ``sort`` takes all pours whenever one has changed."""

    def __init__(self, plan: Plan | None, trace: Trace) -> None:
        self._plan = plan
        self._trace = trace
        self.course = Course(plan) if plan is not None else None
        self.poured: tuple[Poured, ...] = ()
        """By stage, oldest first; the same tuple until one changes."""
        self.stages: tuple[StagePour, ...] = ()
        """The same stages without their places in the plan."""
        self.next_look_g: Grams = inf
        """Total of water from which on the running pour may belong to another stage."""
        self.running = False
        """Whether the newest stage's water runs."""
        self._due: tuple[Seconds, Seconds] | None = None
        """First water, and the time from there to the stage that is waited for."""
        self._end: tuple[Seconds, Ending] | None = None
        self._given_up: int = -1
        self._verdicts: dict[Seconds, tuple[tuple[Pour, ...], FlowVerdict]] = {}

    @property
    def start_s(self) -> Seconds | None:
        """First water, on the tape; None before it."""
        return self.poured[0].stage.start_s if self.poured else None

    @property
    def start_g(self) -> Grams:
        """The water on the scale as it came; 0 before it."""
        return self.poured[0].stage.pours[0].start_g if self.poured else 0.0

    def begin_afresh(self) -> None:
        """Start again from the original plan, since what was poured so far was no water."""
        self.course = Course(self._plan) if self._plan is not None else None
        self._given_up = -1

    def give_up(self, index: int) -> None:
        """Close this stage where it stands, since the brewer does not go on with it."""
        self._given_up = index

    def sort(
        self,
        t_s: Seconds,
        pours: Sequence[Pour],
        water_g: Grams,
        end: tuple[Seconds, Ending] | None,
    ) -> None:
        """Take all pours of the brew, in grams of water, the water at ``t_s`` and how the brew
        ended, if it did."""
        self._end = end
        grouping = self._grouping()
        self.poured = grouping.sort(pours, water_g)
        self.next_look_g = grouping.next_look_g
        self._steer(t_s)
        self.poured = tuple(self._judged(poured) for poured in self.poured)
        self.stages = tuple(poured.stage for poured in self.poured)
        self.running = bool(self.poured) and self.poured[-1].stage.end_s is None
        self._due = self._next_due()

    def verdict(self, poured: Poured) -> FlowVerdict | None:
        """Return the verdict on the stage's flow; None until the stage is over and refined."""
        known = self._verdicts.get(poured.stage.start_s)
        return known[1] if known is not None and known[0] == poured.stage.pours else None

    def over(self, poured: Poured) -> bool:
        """Whether no more water will be counted to this stage."""
        last = self.poured[-1].stage.start_s == poured.stage.start_s
        return not last or self.landed(poured) or (self._end is not None and not self._cut(poured))

    def landed(self, poured: Poured) -> bool:
        """Whether a stage is over: near its mark, beyond it, or left short for good."""
        end_g = poured.stage.end_g
        if self.course is None or poured.index > self.course.last or end_g is None:
            return end_g is not None
        return self._reached(poured) or poured.index <= self._given_up

    def _reached(self, poured: Poured) -> bool:
        assert self.course is not None
        end_g = poured.stage.end_g
        return end_g is not None and end_g >= landed_from_g(self.course.versions(poured.index))

    @property
    def last_began_s(self) -> Seconds | None:
        """When the last stage that was planned began; None until it has reached its mark."""
        course = self.course
        last = None if course is None else course.last
        ended = (one for one in self.poured if one.index == last and one.stage.end_s is not None)
        return next((one.stage.start_s for one in ended if self._reached(one)), None)

    def overdue_s(self, t_s: Seconds) -> Seconds:
        """Return how long the next stage has been due; 0 while none is, and until the newest has
        landed."""
        if self._due is None:
            return 0.0
        begun_s, due_s = self._due
        return max(0.0, t_s - begun_s - due_s)

    def _next_due(self) -> tuple[Seconds, Seconds] | None:
        course, begun_s = self.course, self.start_s
        if course is None or begun_s is None or self.running:
            return None
        newest = self.poured[-1]
        if newest.index >= course.last or not self.landed(newest):
            return None
        return begun_s, course.due_s(newest.index + 1)

    def _grouping(self) -> Grouping:
        course = self.course
        if course is None:
            return Grouping()
        stages = range(course.last + 1)
        landed_g = [landed_from_g(course.versions(index)) for index in stages]
        return Grouping(course.current, landed_g, [course.place(index) for index in stages])

    def _judged(self, poured: Poured) -> Poured:
        """With its evenness, once its water is over and refined."""
        stage = poured.stage
        known = self._verdicts.get(stage.start_s)
        if known is None or known[0] != stage.pours:
            refined = all(pour.refined for pour in stage.pours)
            if stage.end_s is None or not self.over(poured) or not (refined or self._end):
                return poured
            planned_gps = None
            if self.course is not None and poured.index <= self.course.last:
                planned_gps = self.course.current.stages[poured.index].flow_gps
            limits = self._plan.limits if self._plan is not None else FlagLimits()
            verdict = judge_flow(stage, self._trace, limits, planned_gps)
            known = stage.pours, self._without_wait(poured, verdict)
            self._verdicts[stage.start_s] = known
        verdict = known[1]
        judged = replace(
            stage,
            flow_cv=verdict.cv,
            flow_cv_error=verdict.cv_error,
            unjudged=verdict.unjudged,
        )
        return replace(poured, stage=judged)

    def _without_wait(self, poured: Poured, verdict: FlowVerdict) -> FlowVerdict:
        """A stage begun too early and stopped until its time stood still because WAIT was said."""
        course, brew_start_s = self.course, self.start_s
        if course is None or brew_start_s is None or not 0 < poured.first <= course.last:
            return verdict
        earliest = brew_start_s + earliest_s(course.current, poured.first)
        due_s = brew_start_s + course.current.stages[poured.first].start_s
        if poured.stage.start_s >= earliest:
            return verdict
        stalls = tuple(dip for dip in verdict.stalls if dip.start_s > due_s or dip.end_s < earliest)
        return replace(verdict, stalls=stalls)

    def _cut(self, poured: Poured) -> bool:
        """Whether the recording broke off while this stage's water ran, or may have run on."""
        if self._end is None or self._end[1] is not Ending.TAPE:
            return False
        end_s = poured.stage.end_s
        return end_s is None or self._end[0] - end_s < RUN_ON_S

    def _steer(self, t_s: Seconds) -> None:
        """Report to the course what has begun and what is over."""
        course, brew_start_s = self.course, self.start_s
        if course is None or brew_start_s is None or self._end is not None:
            return
        newest = self.poured[-1]
        course.begun(poured.first for poured in self.poured)
        for poured in self.poured:
            stage = poured.stage
            course.stage_started(poured.first, stage.start_s - brew_start_s, t_s)
            over = poured is not newest or self.landed(poured)
            if over and stage.end_s is not None and stage.end_g is not None:
                course.stage_ended(poured.index, stage.end_s - brew_start_s, stage.end_g, t_s)
