"""One account of what the readings have been: its state, its weight, how likely it is."""

from dataclasses import dataclass, replace
from enum import Enum
from typing import NamedTuple

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.filter_state import FilterState, state_at
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S

# How long a flow that cannot be seen is taken to go on.
CARRY_S = 0.6

# Hypotheses whose levels and shifts differ by less are one.
SAME_G = 0.4
# How near the weight comes back to a level after a hand or a vessel.
BACK_G = 1.0
# A weight that comes back to a level settles within this time and this distance.
SETTLES_TICKS = 300
SETTLES_G = 1.0
# No knock pulls harder than this: a larger drop is something taken away.
MOST_PULLED_G = 60.0
# A brewer weighs more than this.
BREWER_G = 15.0
# How much a brewer that was held may have dripped beside the server.
DRIPPED_G = 3.5
# A weight that has come down by this much was a hand's, or drips into the server.
COME_DOWN_G = 1.0


class TurnKind(Enum):
    """A change of state of the platform."""

    OFF = "off"
    """The readings say nothing about the weight: a touch, a lift under way, an outage."""
    BACK = "back"
    """They show it again, and it is where it was, or where the water has brought it."""
    TARE = "tare"
    """The scale went to zero."""
    VESSEL = "vessel"
    """The level is another one and stays: set down, or taken away."""
    RETURN = "return"
    """What had been taken away, or set down, is as it was before."""
    WATER = "water"
    """The level is higher by what may have been poured unseen."""
    FALL = "fall"
    """The level is lower, and water does not leave: some of it was a hand."""
    STREAM = "stream"
    """The readings go on showing the weight, and water runs harder than it did."""


JUMPS = (TurnKind.VESSEL, TurnKind.FALL, TurnKind.WATER)
FLEETING = (*JUMPS, TurnKind.RETURN, TurnKind.TARE)
MOVES = (TurnKind.VESSEL, TurnKind.RETURN)
SETTLING = (TurnKind.RETURN, TurnKind.FALL)


class Turn(NamedTuple):
    """One change of state, from this moment on."""

    ticks: int
    kind: TurnKind
    shift_g: Grams
    """From now on reading plus shift is the unbroken weight."""
    tares_g: Grams
    """The part of the shift that the scale's tares have made."""
    level_g: Grams
    """The unbroken weight right after it."""
    change_g: Grams
    """What a vessel or a tare has moved the readings by, or water the weight."""
    water_g: Grams = 0.0
    """What has come into a vessel that is back, while it was held."""
    pouring: bool = False
    """Whether water ran when a vessel came or went, or seemed to when a touch began."""
    keeps_level: bool = False
    """Whether what has come back is taken to hold the water that it held, whatever it weighs."""
    held_g: Grams | None = None
    """The unbroken weight when what has come back went, or before a vessel came or went; None
    where it may be another."""
    carried_g: Grams = 0.0
    """How much of that is water that need not have run on."""
    hides: bool = False
    """Whether the readings say nothing about the weight after it either: the scale has tared itself
    under a hand."""
    let_go: bool = False
    """Whether a hand has let go that pressed, or a thing gone that had been set down."""
    near_g: Grams | None = None
    """The level that it has come back to, give or take ``BACK_G``; None where it is any."""

    @property
    def may_be_a_blow(self) -> bool:
        """Whether the level jumped as in a knock with a flat top, which takes no load away."""
        return self.kind in JUMPS and self.change_g > -MOST_PULLED_G

    def settles(self, ticks: int, unbroken_g: Grams) -> bool:
        """Whether a weight so soon after it, and so near, may still be on its way. What has fallen
        does not rise again but as under a blow that swings."""
        late = ticks - self.ticks < SETTLES_TICKS
        near = abs(unbroken_g - self.level_g) < 2.0 * SETTLES_G
        rises = self.kind is TurnKind.FALL and unbroken_g > self.level_g
        return self.kind in SETTLING and late and near and not rises

    def trails(self, ticks: int, unbroken_g: Grams) -> bool:
        """Whether such a reading may show the last of a hand that lets go, and not the level."""
        hand = self.let_go or self.kind is TurnKind.FALL
        return hand and self.settles(ticks, unbroken_g)

    def swings(self, ticks: int, unbroken_g: Grams) -> bool:
        """Whether such a reading so soon after a tare may show how the weight swings on, after
        water has stopped or as its first drops fall, and is no sign against the tare."""
        soon = ticks - self.ticks < SETTLES_TICKS
        return self.kind is TurnKind.TARE and soon and abs(unbroken_g - self.level_g) < SETTLES_G

    def lets_go(self, before_g: Grams) -> bool:
        """Whether the weight has come back to a level so far below that some of it was a hand's, or
        had dripped from a brewer that was held."""
        return self.kind is TurnKind.RETURN and self.level_g < before_g - COME_DOWN_G


class Path(NamedTuple):
    """Turns, newest first."""

    turn: Turn
    before: "Path | None"


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A path through the states of the platform up to now, and what follows from it."""

    log_p: float
    off: bool
    """Whether the readings say nothing about the weight now."""
    since_ticks: int
    """Since when it is so."""
    state: FilterState
    """Of the filter, at the last reading that showed the weight."""
    shift_g: Grams
    tares_g: Grams
    path: Path | None = None
    origin: "Hypothesis | None" = None
    """What it goes back to if the level that it has come to does not last; None where nothing."""

    under: "Hypothesis | None" = None
    """What it goes back to if the jump that it began with goes back at once."""

    rested: "tuple[int, Hypothesis] | None" = None
    """When water seemed to begin, and what it goes back to if that was a hand; None while the
    weight rests."""

    def weighed(self, log_p: float, state: FilterState | None = None) -> "Hypothesis":
        """With another weight, and the filter after another reading."""
        rested = self.rested
        if state is not None and not self.off:
            if state.pour_probability < 0.5:
                rested = None
            elif self.state.pour_probability < 0.5:
                rested = state.ticks, self
        return Hypothesis(
            log_p,
            self.off,
            self.since_ticks,
            self.state if state is None else state,
            self.shift_g,
            self.tares_g,
            self.path,
            self.origin,
            self.under,
            rested,
        )

    def turned(self, log_p: float, turn: Turn, state: FilterState | None = None) -> "Hypothesis":
        """After this turn."""
        return Hypothesis(
            log_p,
            turn.kind is TurnKind.OFF or turn.hides,
            turn.ticks,
            self.state if state is None else state,
            turn.shift_g,
            turn.tares_g,
            Path(turn, self.path),
            (self if self.off else self.origin) if turn.kind in FLEETING else None,
            self if self.off and self.under is None and turn.may_be_a_blow else self.under,
        )

    def turns(self) -> list[Turn]:
        """Oldest first."""
        found: list[Turn] = []
        path = self.path
        while path is not None:
            found.append(path.turn)
            path = path.before
        return found[::-1]

    def has_jumped(self, least_g: Grams = 0.0) -> bool:
        """Whether the level has jumped on this path by at least this much so far."""
        return any(
            turn.kind in (TurnKind.VESSEL, TurnKind.FALL) and abs(turn.change_g) >= least_g
            for turn in self.turns()
        )

    def tared_g(self) -> Grams:
        """The most that one tare of the scale has taken off its figures on this path."""
        return max((-t.change_g for t in self.turns() if t.kind is TurnKind.TARE), default=0.0)

    def tared_since(self, ticks: int) -> bool:
        """Whether the scale has tared itself on this path since that moment."""
        return any(t.kind is TurnKind.TARE and t.ticks >= ticks for t in self.turns())

    def comes_to_rest(self, ticks: int, unbroken_g: Grams) -> bool:
        """Whether the weight has only just come back to a level and is still near it."""
        near = abs(unbroken_g - self.expected(ticks)[0]) < SETTLES_G
        return near and self.path is not None and self.path.turn.settles(ticks, unbroken_g)

    def settled_later(
        self, log_share: float, ticks: int, unbroken_g: Grams, noise_var: float
    ) -> "Hypothesis":
        """With its last turn at this reading: the ones before were still on their way."""
        assert self.path is not None
        turn, before = self.path
        later_g = unbroken_g - turn.level_g
        if turn.keeps_level:
            shift_g, change_g = turn.shift_g - later_g, turn.change_g + later_g
            turn = turn._replace(ticks=ticks, shift_g=shift_g, change_g=change_g)
        else:
            turn = turn._replace(ticks=ticks, level_g=unbroken_g)
        if turn.kind is TurnKind.FALL:
            turn = turn._replace(change_g=turn.change_g + later_g)
        elif turn.water_g:
            turn = turn._replace(water_g=turn.water_g + later_g)
        variance = noise_var + SAME_G**2
        if turn.near_g is not None and not turn.keeps_level:
            # However little it is off each time, it must not drift from the level that it came to.
            before_g, now_g = unbroken_g - later_g - turn.near_g, unbroken_g - turn.near_g
            log_share += 0.5 * (before_g * before_g - now_g * now_g) / (BACK_G * BACK_G)
        return replace(
            self,
            log_p=self.log_p + log_share,
            state=state_at(ticks, turn.level_g, variance, 1e-3, self.state.drum_s2),
            shift_g=turn.shift_g,
            path=Path(turn, before),
        )

    def keeps_its_level(self) -> bool:
        """Whether the level did not jump with the last turn, and need not last to be believed."""
        kept = (TurnKind.BACK, TurnKind.STREAM)
        return not self.off and (self.path is None or self.path.turn.kind in kept)

    def fallen_g(self, since_ticks: int) -> Grams:
        """By how much the level has fallen on this path since then: below zero."""
        return sum(
            turn.change_g
            for turn in self.turns()
            if turn.kind is TurnKind.FALL and turn.ticks >= since_ticks
        )

    def taken_g(self) -> Grams:
        """How much more has been taken away than set down on this path."""
        return -sum(turn.change_g for turn in self.turns() if turn.kind in MOVES)

    def expected(self, ticks: int) -> tuple[Grams, GramsPerSecond]:
        """The unbroken weight expected at this moment, and the flow."""
        state = self.state
        p1, x = state.pour_probability, state.x
        flow_gps = p1 * (x[1] + x[2])
        passed_s = min((ticks - state.ticks) / TICKS_PER_S, CARRY_S)
        carried_g = flow_gps * passed_s if flow_gps > 0.0 else 0.0
        return (1.0 - p1) * state.level_g + p1 * x[0] + carried_g, flow_gps

    def variances(self) -> tuple[float, float]:
        """Of the weight and of the flow, when the weight was last seen."""
        state = self.state
        p1, x, p = state.pour_probability, state.x, state.p
        flow_gps, spread = x[1] + x[2], p1 * (1.0 - p1)
        return (
            (1.0 - p1) * state.level_var + p1 * p[0] + spread * (x[0] - state.level_g) ** 2,
            p1 * (p[4] + 2.0 * p[5] + p[7]) + spread * flow_gps * flow_gps,
        )

    def lasted_s(self, ticks: int) -> Seconds:
        """How long the weight has not been seen."""
        return (ticks - self.state.ticks) / TICKS_PER_S


def carried_over(state: FilterState, ticks: int, level_g: Grams, noise_var: float) -> FilterState:
    """Return the state with its weight and flow kept, whatever the readings have jumped by."""
    pour_probability = state.pour_probability
    if pour_probability < 0.5:
        variance = state.level_var + noise_var
        return state_at(ticks, level_g, variance, pour_probability, state.drum_s2)
    _, q, m, d = state.x
    return state._replace(
        ticks=ticks,
        level_g=level_g,
        x=(level_g, q, m, d),
        p=(state.p[0] + noise_var, *state.p[1:]),
    )
