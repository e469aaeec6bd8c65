"""What is done to the platform beside pouring: knocks, touches, leaning, pressing, lifting."""

import math
from collections.abc import Iterable
from random import Random
from typing import Protocol

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.simulation.faults import Disturbance, Knock, Lean, Lift, Press
from pourcoach.simulation.hand.wobble import OscillatingWobble
from pourcoach.simulation.minimum_jerk import minimum_jerk
from pourcoach.simulation.ticks import TICK_S
from pourcoach.simulation.truth import Event, Truth

LIFT_EDGE_S = 0.25
"""Off and on, of a lifted brewer; common practice."""
ROOM_S = 4.0
"""From planned water to a bystander's knock, at least."""
SETTING_DOWN_G = 40.0
"""Blow with which a brewer is set down again; chosen, no published source."""
BLOW_DIES_OFF = 1.5
"""By e to this power over one blow, so that it rebounds by half; chosen."""
BLOW_PEAK = 0.7
"""Of a swing that dies off so, where the blow is strongest."""
PRESS_CV = 0.05
"""How unsteadily a hand presses: a few percent of its force about once a second (from memory)."""
PRESS_HZ = 1.0
PRESS_DAMPING = 0.5


class Push(Protocol):
    """A force over a while."""

    start_s: Seconds
    end_s: Seconds

    def force_g(self, t_s: Seconds) -> Grams:
        """At this moment, while it lasts."""
        ...


class Blow:
    """A blow and its smaller rebound: one damped swing."""

    def __init__(self, start_s: Seconds, lasts_s: Seconds, size_g: Grams) -> None:
        self.start_s = start_s
        self.end_s = start_s + lasts_s
        self._size_g = size_g

    def force_g(self, t_s: Seconds) -> Grams:
        share = (t_s - self.start_s) / (self.end_s - self.start_s)
        dying_g = self._size_g * math.exp(-BLOW_DIES_OFF * share)
        return dying_g * math.sin(2 * math.pi * share) / BLOW_PEAK


class Leaning:
    """A steady push that comes and goes."""

    def __init__(self, start_s: Seconds, lean: Lean) -> None:
        self.start_s = start_s
        self.end_s = start_s + lean.lasts_s
        self._lean = lean

    def force_g(self, t_s: Seconds) -> Grams:
        edge_s = self._lean.edge_s
        on = minimum_jerk((t_s - self.start_s) / edge_s)
        return self._lean.size_g * on * minimum_jerk((self.end_s - t_s) / edge_s)


class Pressing:
    """A push that grows evenly, as water does, holds unsteadily and goes."""

    def __init__(self, start_s: Seconds, press: Press, chance: Random) -> None:
        self.start_s = start_s
        self.end_s = start_s + press.lasts_s
        self._press = press
        self._wobble = OscillatingWobble(PRESS_HZ, PRESS_DAMPING, TICK_S, chance)

    def force_g(self, t_s: Seconds) -> Grams:
        """To be asked once a tick."""
        press = self._press
        on = min((t_s - self.start_s) / press.rises_s, 1.0)
        off = minimum_jerk((self.end_s - t_s) / press.falls_s)
        return press.size_g * on * off * (1 + PRESS_CV * self._wobble.step())


class Handling:
    """All pushes and lifts of a brew, in order of time."""

    def __init__(
        self,
        disturbances: Iterable[Disturbance],
        first_water_s: Seconds,
        touches_per_min: float,
        chance: Random,
        presses: Random,
        truth: Truth,
    ) -> None:
        """``chance`` is for touches, ``presses`` for how unsteadily a hand presses."""
        self._truth = truth
        self._pushes: list[Push] = []
        self._chance = chance
        self._touches_per_s = touches_per_min / 60
        for one in disturbances:
            start_s = first_water_s + one.brew_s
            if isinstance(one, Lift):
                end_s = start_s + one.lasts_s
                truth.lifts.append((start_s, end_s))
                self._pushes.append(Blow(end_s, 0.3, SETTING_DOWN_G))
            elif isinstance(one, Lean):
                self._pushes.append(Leaning(start_s, one))
            elif isinstance(one, Press):
                self._pushes.append(Pressing(start_s, one, presses))
            else:
                self._pushes.append(Blow(start_s, one.lasts_s, one.size_g))
        self._next_touch_s = self._touch_after(0.0)

    def _touch(self, t_s: Seconds) -> None:
        chance = self._chance
        size_g = chance.uniform(1, 20) * chance.choice((-1, 1))
        self._pushes.append(Blow(t_s, chance.uniform(0.05, 0.3), size_g))
        self._truth.events.append(Event(t_s, "touch"))
        self._next_touch_s = self._touch_after(t_s)

    def _touch_after(self, t_s: Seconds) -> Seconds:
        if not self._touches_per_s:
            return math.inf
        return t_s + self._chance.expovariate(self._touches_per_s)

    def lift_off(self, t_s: Seconds) -> None:
        """From now on the brewer is off the scale for good."""
        self._truth.lifts.append((t_s, math.inf))

    def force_g(self, t_s: Seconds) -> Grams:
        """All pushes together at this moment; to be asked tick by tick."""
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
        for start_s, end_s in self._truth.lifts:
            if start_s <= t_s < end_s:
                return minimum_jerk((t_s - start_s) / LIFT_EDGE_S) * minimum_jerk(
                    (end_s - t_s) / LIFT_EDGE_S
                )
        return 0.0


def habitual(knocks: int, lifts: int, plan: Plan, chance: Random) -> list[Disturbance]:
    """Knocks while the hand waits, and lifts while the last water drains, in places drawn by lot.

    A place is a rest of the plan with room to spare for a hand that is late; where no rest has
    room, all of them fall into the drawdown.
    """
    last = len(plan.stages) - 1
    drawdown_s = (plan.stage_end_s(last) + ROOM_S, plan.finish_s)
    rests_s = _rests_s(plan)
    made: list[Disturbance] = []
    for _ in range(knocks):
        size_g = chance.uniform(8, 25) * chance.choice((-1, 1))
        made.append(Knock(chance.uniform(*chance.choice(rests_s)), size_g))
    return made + [Lift(chance.uniform(*drawdown_s)) for _ in range(lifts)]


def bumps(count: int, plan: Plan, chance: Random) -> list[Disturbance]:
    """Knocks at any moment from the first water to the planned finish; sizes are chosen."""
    return [
        Knock(
            chance.uniform(0, plan.finish_s),
            chance.uniform(4, 60) * chance.choice((-1, 1)),
            chance.uniform(0.1, 0.6),
        )
        for _ in range(count)
    ]


def presses(count: int, plan: Plan, chance: Random) -> list[Disturbance]:
    """Presses in the rests of the plan, one after the other, each over before the next water is
    due; sizes are chosen."""
    rests_s = _rests_s(plan)
    made: list[Disturbance] = []
    for number in range(count):
        rest_from_s, rest_to_s = rests_s[number % len(rests_s)]
        # Each rest is shared out among the presses that fall into it.
        sharing = len(range(number % len(rests_s), count, len(rests_s)))
        room_s = (rest_to_s - rest_from_s) / sharing
        from_s = rest_from_s + room_s * (number // len(rests_s))
        lasts_s = [chance.uniform(1.0, 8.0), chance.uniform(0.2, 3.0), chance.uniform(0.2, 2.0)]
        short = min(1.0, room_s / sum(lasts_s))
        rises_s, holds_s, falls_s = (short * part_s for part_s in lasts_s)
        brew_s = from_s + chance.uniform(0.0, room_s - rises_s - holds_s - falls_s)
        made.append(Press(brew_s, chance.uniform(5, 60), rises_s, holds_s, falls_s))
    return made


def _rests_s(plan: Plan) -> list[tuple[Seconds, Seconds]]:
    """When the hand waits, with room on either side; the drawdown where there is none."""
    last = len(plan.stages) - 1
    rests_s = [
        (plan.stage_end_s(index) + ROOM_S, plan.stages[index + 1].start_s - ROOM_S)
        for index in range(last)
    ]
    drawdown_s = (plan.stage_end_s(last) + ROOM_S, plan.finish_s)
    return [rest_s for rest_s in rests_s if rest_s[0] < rest_s[1]] or [drawdown_s]
