"""What is done to the platform beside pouring: knocks, touches, leaning, lifting."""

import math
from collections.abc import Iterable
from random import Random

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.simulation.faults import Disturbance, Knock, Lean, Lift
from pourcoach.simulation.reach import reach
from pourcoach.simulation.truth import Event, Truth

LEAN_EDGE_S = 0.6
"""On and off, of a leaning hand; common practice."""
LIFT_EDGE_S = 0.25
"""Off and on, of a lifted brewer; common practice."""
ROOM_S = 4.0
"""From planned water to a bystander's knock, at least."""
SETTING_DOWN_G = 40.0
"""Blow with which a brewer is set down again; chosen, no published source."""


class Push:
    """A force over a while."""

    def __init__(self, kind: type[Disturbance], start_s: Seconds, lasts_s: Seconds, size_g: Grams):
        self._kind = kind
        self.start_s = start_s
        self.end_s = start_s + lasts_s
        self._size_g = size_g

    def force_g(self, t_s: Seconds) -> Grams:
        """At this moment, while it lasts."""
        if self._kind is Lean:
            on = reach((t_s - self.start_s) / LEAN_EDGE_S)
            return self._size_g * on * reach((self.end_s - t_s) / LEAN_EDGE_S)
        # A blow and its smaller rebound: one damped swing.
        share = (t_s - self.start_s) / (self.end_s - self.start_s)
        return self._size_g * math.exp(-1.5 * share) * math.sin(2 * math.pi * share) / 0.7


class Handling:
    """All pushes and lifts of a brew, in order of time."""

    def __init__(
        self,
        disturbances: Iterable[Disturbance],
        first_water_s: Seconds,
        touches_per_min: float,
        chance: Random,
        truth: Truth,
    ) -> None:
        self._truth = truth
        self._pushes: list[Push] = []
        self._lifts: list[tuple[Seconds, Seconds]] = []
        self._chance = chance
        self._touches_per_s = touches_per_min / 60
        for one in disturbances:
            start_s = first_water_s + one.brew_s
            if isinstance(one, Lift):
                end_s = start_s + one.lasts_s
                self._lifts.append((start_s, end_s))
                self._pushes.append(Push(Knock, end_s, 0.3, SETTING_DOWN_G))
            else:
                self._pushes.append(Push(type(one), start_s, one.lasts_s, one.size_g))
        self._next_touch_s = self._touch_after(0.0)

    def _touch(self, t_s: Seconds) -> None:
        chance = self._chance
        size_g = chance.uniform(1, 20) * chance.choice((-1, 1))
        self._pushes.append(Push(Knock, t_s, chance.uniform(0.05, 0.3), size_g))
        self._truth.events.append(Event(t_s, "touch"))
        self._next_touch_s = self._touch_after(t_s)

    def _touch_after(self, t_s: Seconds) -> Seconds:
        if not self._touches_per_s:
            return math.inf
        return t_s + self._chance.expovariate(self._touches_per_s)

    def lift_off(self, t_s: Seconds) -> None:
        """From now on the brewer is off the scale for good."""
        self._lifts.append((t_s, math.inf))

    def force_g(self, t_s: Seconds) -> Grams:
        """All pushes together at this moment, which must not lie before the last one asked."""
        if t_s >= self._next_touch_s:
            self._touch(t_s)
        force_g = 0.0
        if self._pushes:
            for push in self._pushes:
                if push.start_s <= t_s < push.end_s:
                    force_g += push.force_g(t_s)
            self._pushes = [push for push in self._pushes if t_s < push.end_s]
        return force_g

    def lifted(self, t_s: Seconds) -> float:
        """Share of the brewer's weight that a hand carries."""
        for start_s, end_s in self._lifts:
            if start_s <= t_s < end_s:
                return reach((t_s - start_s) / LIFT_EDGE_S) * reach((end_s - t_s) / LIFT_EDGE_S)
        return 0.0


def habitual(knocks: int, lifts: int, plan: Plan, chance: Random) -> list[Disturbance]:
    """Knocks while the hand waits, and lifts while the last water drains, in places drawn by lot.

    A place is a rest of the plan with room to spare for a hand that is late; where no rest has
    room, all of them fall into the drawdown.
    """
    last = len(plan.stages) - 1
    drawdown_s = (plan.stage_end_s(last) + ROOM_S, plan.finish_s)
    rests_s = [
        (plan.stage_end_s(index) + ROOM_S, plan.stages[index + 1].start_s - ROOM_S)
        for index in range(last)
    ]
    rests_s = [rest_s for rest_s in rests_s if rest_s[0] < rest_s[1]] or [drawdown_s]
    made: list[Disturbance] = []
    for _ in range(knocks):
        size_g = chance.uniform(8, 25) * chance.choice((-1, 1))
        made.append(Knock(chance.uniform(*chance.choice(rests_s)), size_g))
    return made + [Lift(chance.uniform(*drawdown_s)) for _ in range(lifts)]
