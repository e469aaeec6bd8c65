"""The plan as it is followed: the original, the one in force, and the one displayed."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from pourcoach.coaching.course.bounds import earliest_s, latest_s, tolerance_g
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Replan
from pourcoach.domain.units import Grams, Seconds

LEAST_STAGE_G: Grams = 10.0
"""Smaller stages cannot be poured well and are joined: common practice."""
LEAST_APART_S: Seconds = 0.1
"""Stages of a plan must follow one another: the least time between two where one has caught up with
the next."""


def shifted(plan: Plan, after: int, by_s: Seconds) -> Plan:
    """Return the plan with the stages after ``after``, and the finish, ``by_s`` later, so that
    rests keep their length."""
    stages = list(plan.stages)
    for index in range(after + 1, len(stages)):
        start_s = max(stages[index].start_s + by_s, stages[index - 1].start_s + LEAST_APART_S)
        stages[index] = replace(stages[index], start_s=start_s)
    return replace(plan, stages=tuple(stages), finish_s=plan.finish_s + by_s)


def spread_rest(plan: Plan, after: int, water_g: Grams) -> tuple[Plan, list[int]]:
    """Return the plan with the rest of the water spread over the stages left, once stage ``after``
    ended at ``water_g``, and the index of each of its stages in ``plan``.

    The total stays. Stages that would become too small are joined; if the total is reached already,
    none are left.
    """
    stages = plan.stages
    total_g = stages[-1].to_g
    rest = stages[after + 1 :]
    places = list(range(after + 1))
    if not rest:
        return plan, places
    if total_g - water_g < tolerance_g(plan, len(stages) - 1):
        return replace(plan, stages=stages[: after + 1]), places
    scale = (total_g - water_g) / (total_g - stages[after].to_g)
    kept: list[Stage] = []
    at_g = water_g
    for index, stage in enumerate(rest, after + 1):
        to_g = total_g - (total_g - stage.to_g) * scale
        last = stage is rest[-1]
        rises = to_g > stages[after].to_g and to_g - at_g >= LEAST_STAGE_G
        if rises or (last and not kept):
            kept.append(replace(stage, to_g=to_g))
            places.append(index)
            at_g = to_g
        elif last:
            kept[-1] = replace(kept[-1], to_g=to_g)
    return replace(plan, stages=(*stages[: after + 1], *kept)), places


def anchored(plan: Plan, begun_s: Mapping[int, Seconds]) -> Plan:
    """Return the plan with the stages already begun at the brew times at which they began."""
    stages = list(plan.stages)
    for index, stage in enumerate(stages):
        start_s = begun_s.get(index, stage.start_s)
        if index:
            start_s = max(start_s, stages[index - 1].start_s + LEAST_APART_S)
        if start_s != stage.start_s:
            stages[index] = replace(stage, start_s=start_s)
    return replace(plan, stages=tuple(stages))


class _Kept(NamedTuple):
    """A Course as it was."""

    current: Plan
    displayed: Plan
    places: list[int]
    replans: tuple[Replan, ...]
    begun_s: dict[int, Seconds]
    paced: set[int]
    landed: dict[int, Grams]


class Course:
    """Adapts the plan to the brewer: a stage begun late is poured from then on, not caught up with.

    ``original`` is the plan as given, for the review. ``current`` differs from it only in stages
    that had not begun when the brew left the plan. ``displayed`` is ``current`` with the stages
    begun at the times they began, so that the curve and the pour start together.
    """

    def __init__(self, plan: Plan) -> None:
        self.original = plan
        self.current = plan
        self.displayed = plan
        self._places = list(range(len(plan.stages)))
        """Where each stage of the current plan stands in the original one."""
        self.replans: tuple[Replan, ...] = ()
        """All changes of the plan, oldest first."""
        self._begun_s: dict[int, Seconds] = {}
        self._paced: set[int] = set()
        self._landed: dict[int, Grams] = {}
        """The total at which each stage ended."""
        self._before: dict[int, _Kept] = {}
        """How all this was before each stage was begun."""

    @property
    def replanned_s(self) -> Seconds | None:
        """When the plan was last changed, on the tape; None if it never was."""
        return self.replans[-1].at_s if self.replans else None

    def place(self, index: int) -> int | None:
        """Return the index in the original plan of stage ``index`` of the current one; None for a
        pour beyond the last stage."""
        return self._places[index] if index <= self.last else None

    @property
    def last(self) -> int:
        """Index of the last stage in force."""
        return len(self.current.stages) - 1

    def due_s(self, index: int) -> Seconds:
        """Return the brew time when stage ``index`` is due."""
        return self.displayed.stages[index].start_s

    def versions(self, index: int) -> list[tuple[Plan, int]]:
        """Return the current plan and the original, each with the index of stage ``index`` in it;
        once where they are the same."""
        place = self.place(index)
        if self.original is self.current or place is None:
            return [(self.current, index)]
        return [(self.current, index), (self.original, place)]

    def begun(self, stages: Iterable[int]) -> None:
        """Take the indices of all stages begun so far, before each is taken with its time. What
        followed from one that is not among them any more is taken back: its water was none.
        """
        now = set(stages)
        gone = self._begun_s.keys() - now
        if gone:
            self._restore(self._before[min(gone)])
        for index in now - self._begun_s.keys():
            self._before[index] = _Kept(
                self.current,
                self.displayed,
                self._places,
                self.replans,
                dict(self._begun_s),
                set(self._paced),
                dict(self._landed),
            )

    def _restore(self, kept: _Kept) -> None:
        self.current, self.displayed, self.replans = kept.current, kept.displayed, kept.replans
        self._places = kept.places
        self._begun_s, self._landed = dict(kept.begun_s), dict(kept.landed)
        self._paced = set(kept.paced)

    def stage_started(self, index: int, brew_s: Seconds, t_s: Seconds) -> None:
        """Take the beginning of stage ``index``. If it is off its time by more than its bounds, the
        rest is moved by as much."""
        if self._begun_s.get(index) == brew_s or index > self.last:
            return
        self._begun_s[index] = brew_s
        if index and index not in self._paced:
            self._paced.add(index)
            plan = self.current
            by_s = brew_s - plan.stages[index].start_s
            in_bounds = earliest_s(plan, index) <= brew_s <= latest_s(plan, index)
            if not in_bounds or abs(by_s) > plan.limits.stage_off_s:
                cause = Replan(t_s, plan.stages[index].name, off_s=by_s)
                self._replace(shifted(plan, index, by_s), cause)
        self.displayed = anchored(self.current, self._begun_s)

    def stage_ended(self, index: int, brew_s: Seconds, water_g: Grams, t_s: Seconds) -> None:
        """Take the end of stage ``index``. If it is off its mark or far behind its time, the rest
        of the plan is changed."""
        if index >= self.last or index in self._landed:
            return
        self._landed[index] = water_g
        name = self.current.stages[index].name
        off_g = water_g - self.current.stages[index].to_g
        if abs(off_g) > tolerance_g(self.current, index):
            plan, places = spread_rest(self.current, index, water_g)
            self._places = [self._places[place] for place in places]
            self._replace(plan, Replan(t_s, name, off_g=off_g))
        stage = self.displayed.stages[index]
        from_g = self._landed.get(index - 1, self.displayed.stage_from_g(index))
        behind_s = brew_s - stage.start_s - (stage.to_g - from_g) / stage.flow_gps
        if behind_s > self.current.limits.stage_off_s and index < self.last:
            cause = Replan(t_s, name, off_s=behind_s)
            self._replace(shifted(self.current, index, behind_s), cause)
        self.displayed = anchored(self.current, self._begun_s)

    def _replace(self, plan: Plan, cause: Replan) -> None:
        if plan != self.current:
            self.current = plan
            self.replans = (*self.replans, cause)
