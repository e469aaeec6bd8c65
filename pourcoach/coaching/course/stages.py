"""Which stage each pour belongs to, by weight and by time."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from pourcoach.coaching.course.bounds import tolerance_g
from pourcoach.domain.plan import EXTRA_POUR, Plan
from pourcoach.domain.pour import Pour, StagePour
from pourcoach.domain.units import Grams, Seconds

# All of these are common practice; no published source was found for any.
LEAST_POUR_G: Grams = 2.0
"""Less than this is a drip from the kettle, not a pour."""
FIRST_WATER_G: Grams = 1.0
"""While it still runs, less than this is no first water yet: a noisy cell rises as far."""
TOP_UP_S: Seconds = 3.0
"""A little more water within this time after a landed stage tops it up."""
GIVE_UP_S: Seconds = 15.0
"""The last stage, which no other follows, is over when it has been left alone so long."""
PLANLESS_PAUSE_S: Seconds = 4.0
"""Without a plan, pours closer together than this are one that stalled."""


@dataclass(frozen=True, slots=True)
class Poured:
    """One stage's water and its place in the plan."""

    first: int
    """Index of the first stage this water went through; below ``index`` where stages were merged
    into one pour or skipped."""
    index: int
    """Index of the stage it went to; the number of stages for a pour beyond the last."""
    stage: StagePour


@dataclass(slots=True)
class _Group:
    first: int
    index: int
    pours: list[Pour]


class Grouping:
    """Sorts pours into stages, oldest first. A new one is made whenever a pour changes."""

    def __init__(
        self,
        plan: Plan | None = None,
        landed_g: Sequence[Grams] = (),
        places: Sequence[int | None] = (),
    ) -> None:
        """``landed_g``: the total at which each stage of the plan has landed; ``places``: the index
        of each in the original plan."""
        self._plan = plan
        self._places = places
        self._landed_g = landed_g
        self._groups: list[_Group] = []
        self.next_look_g: Grams = inf
        """Total at which the running pour may change its stage, and the pours must be sorted
        again."""

    def sort(self, pours: Sequence[Pour], water_g: Grams) -> tuple[Poured, ...]:
        """Sort all pours so far, in grams of water; ``water_g`` is the total now."""
        for pour in pours:
            self._take(pour, water_g if pour.end_g is None else pour.end_g)
        return tuple(
            Poured(group.first, group.index, self._stage(group.index, tuple(group.pours)))
            for group in self._groups
        )

    def _stage(self, index: int, pours: tuple[Pour, ...]) -> StagePour:
        place = self._places[index] if index < len(self._places) else None
        return StagePour(self._name(index), pours, place)

    def _take(self, pour: Pour, level_g: Grams) -> None:
        first = not self._groups and pour.end_s is None
        least_g = FIRST_WATER_G if first else LEAST_POUR_G
        if level_g - pour.start_g < least_g:
            if pour.end_s is None:
                self.next_look_g = pour.start_g + least_g
            return
        if self._groups and self._goes_on(pour, level_g):
            self._groups[-1].pours.append(pour)
        else:
            index = self._groups[-1].index + 1 if self._groups else 0
            if self._plan is not None:
                index = min(index, len(self._plan.stages))
            self._groups.append(_Group(index, index, [pour]))
        self._advance(pour, level_g)

    def _goes_on(self, pour: Pour, level_g: Grams) -> bool:
        """Whether this pour goes on with the stage of the one before it."""
        before = self._groups[-1].pours[-1]
        if before.end_s is None or before.end_g is None:
            return True
        pause_s = pour.start_s - before.end_s
        if self._plan is None:
            return pause_s < PLANLESS_PAUSE_S
        stages = self._plan.stages
        index = self._groups[-1].index
        if index >= len(stages):
            return True
        tolerance = tolerance_g(self._plan, index)
        to_g = stages[index].to_g
        last = index == len(stages) - 1
        if last:
            return pause_s < GIVE_UP_S
        if pause_s >= self._due_s(index + 1) - pour.start_s:
            # The next stage's time is nearer than its own.
            return False
        landed = before.end_g >= self._landed_g[index]
        return not landed or (pause_s < TOP_UP_S and level_g <= to_g + tolerance)

    def _advance(self, pour: Pour, level_g: Grams) -> None:
        """Water well on its way to a later mark belongs to that mark's stage; once it has stopped
        short of that mark before its time, it was too much for its own."""
        self.next_look_g = inf
        if self._plan is None:
            return
        stages = self._plan.stages
        index = self._groups[-1].index
        if index >= len(stages):
            return
        while (
            index + 1 < len(stages) and level_g > (stages[index].to_g + stages[index + 1].to_g) / 2
        ):
            stopped = pour.end_s is not None and pour.end_s < self._due_s(index + 1)
            if stopped and level_g < self._landed_g[index + 1]:
                break
            index += 1
        self._groups[-1].index = index
        if pour.end_s is None:
            to_g = stages[index].to_g
            over_g = to_g + tolerance_g(self._plan, index)
            half_g = (to_g + stages[index + 1].to_g) / 2 if index + 1 < len(stages) else inf
            self.next_look_g = over_g if level_g <= over_g < half_g else half_g

    def _due_s(self, index: int) -> Seconds:
        """When stage ``index`` is due, on the tape."""
        assert self._plan is not None
        return self._groups[0].pours[0].start_s + self._plan.stages[index].start_s

    def _name(self, index: int) -> str:
        if self._plan is None:
            return f"pour {index + 1}"
        return self._plan.stages[index].name if index < len(self._plan.stages) else EXTRA_POUR
