"""The platform as it was before something was taken away, or set down."""

import math
from collections.abc import Iterator

from pourcoach.domain.units import Grams
from pourcoach.estimation.filter.filter_state import FilterState, running_at, state_at
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.platform.following import Following, Moment, normal
from pourcoach.estimation.platform.hypothesis import (
    BACK_G,
    DRIPPED_G,
    SAME_G,
    Hypothesis,
    Turn,
    TurnKind,
    carried_over,
)
from pourcoach.estimation.platform.scene import LOADED_G, MOST_FLOW_GPS, NEAR_G, Away, Scene
from pourcoach.estimation.platform.tares import hand_gone

# The share of touches that end so.
RETURN_SHARE = 0.35
# What is put back may be lighter or heavier by about this share, with nothing poured in: a lid, a
# spoon, a filter. That is rare, and rarer still in the middle of a pour.
CHANGED_SHARE = 0.05
CHANGED_POURING_SHARE = 0.005
CHANGES_BY = 0.02
CHANGES_FAR = 4.0
# Water is poured into a brewer that is held if it was running already; otherwise so seldom that the
# brewer is asked, unless water runs when it stands again.
FILLED_POURING_SHARE = 0.5
FILLED_SHARE = 0.002
# The probability that water runs when a brewer is put back into which nobody has poured.
RESTS_PROBABILITY = 1e-3
# Nobody holds a brewer and pours into it for longer.
MOST_HELD_S = 60.0
# What comes back weighs at least this share of what went.
BACK_SHARE = 0.5
# A lift less probable than this was a tare, and what comes then is another thing.
SELDOM_LIFTED = 0.1
# The longest knock with a flat top.
BLOW_S = 2.0
# A hand seldom presses harder.
PRESS_G = 25.0


class PutBack:
    """The returns that are possible on a platform of which this is known."""

    __slots__ = ("_following", "_level_g", "_scene", "_start", "_start_ticks")

    def __init__(
        self, start: FilterState, level_g: Grams, shift_g: Grams, scene: Scene, following: Following
    ) -> None:
        """``level_g``: the unbroken weight before anything moved, under ``shift_g``."""
        self._scene, self._following, self._level_g = scene, following, level_g
        pouring = start.pour_probability > 0.5 or scene.stopped_now
        self._start = Away(shift_g, 0.0, scene.t_s, level_g, pouring)
        self._start_ticks = start.ticks

    def returned(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """As it was before a vessel came or went, before a jump of this path, or at a rest before
        the last water; ``ending`` is the log probability that the touch ends here."""
        under = one.under
        if under is not None and under.lasted_s(now.ticks) < BLOW_S:
            going = ending + math.log(RETURN_SHARE)
            yield from self._following.came_back(under, going, now)
        for away in self._scene.away:
            if away.change_g > 0.0:
                yield from self._gone_again(one, ending, now, away)
        for away in self._gone(one):
            yield from self._back(one, ending, now, away)
        yield from self._let_go(one, ending, now)

    def may_be_back(self, one: Hypothesis, now: Moment) -> bool:
        """Whether what has been taken away may have been put back, whatever was poured in, so that
        it is no other thing that has come."""
        for away in self._gone(one):
            gained_g = now.reading_g + away.shift_g - away.level_g
            heavy = away.change_g < -LOADED_G and away.probability > SELDOM_LIFTED
            if heavy and -CHANGES_FAR * _changes_g(away) < gained_g < self._most_g(away, now):
                return True
        return False

    def _gone(self, one: Hypothesis) -> Iterator[Away]:
        """What has been taken away and not come back, as the platform would be with it again."""
        taken_g = one.taken_g()
        for away in self._scene.away:
            if away.change_g > 0.0 or one.shift_g - away.shift_g < -BACK_SHARE * away.change_g:
                continue  # It has come back since, next to something else that stands there.
            yield away
            beside_g = one.shift_g + away.change_g - away.shift_g
            if away.change_g < -LOADED_G and not one.has_jumped() and abs(beside_g) > SAME_G:
                # What else has been set down or taken away since stays as it is.
                yield away._replace(shift_g=away.shift_g + beside_g)
        if taken_g > LOADED_G:
            yield self._start._replace(change_g=-taken_g)

    def _gone_again(
        self, one: Hypothesis, ending: float, now: Moment, away: Away
    ) -> Iterator[Hypothesis]:
        """What had been set down is gone, and what was taken for water under a hand with it."""
        pressed = math.exp(-away.change_g / PRESS_G) * self._scene.hand_holds
        if away.loose:
            if pressed > 1e-12:
                known = ending + math.log(RETURN_SHARE * pressed)
                yield from hand_gone(one, known, now, away.level_g, away.shift_g)
            return
        back_g = now.reading_g + away.shift_g
        gained_g, off_g = back_g - away.level_g, back_g - self._level_g
        if gained_g < 0.0:
            gained_g = min(gained_g + away.carried_g, 0.0)  # The water had stopped before.
        variance = BACK_G * BACK_G + now.noise_var
        likely = max(pressed * normal(gained_g, variance), normal(off_g, variance))
        off_g = min(off_g, gained_g, key=abs)
        hand = off_g < -DRIPPED_G
        if hand:
            width_g = _changes_g(away)
            likely = CHANGED_SHARE * normal(off_g, width_g * width_g + now.noise_var)
        known = ending + math.log(RETURN_SHARE)
        if likely > 1e-12:
            state = carried_over(one.state, now.ticks, back_g, now.noise_var + SAME_G**2)
            near_g = back_g - (gained_g if abs(gained_g) < NEAR_G else off_g)
            turn = self._turn(one, now, away, back_g)._replace(let_go=True, near_g=near_g)
            yield one.turned(known + math.log(likely), turn, state)
        if off_g > DRIPPED_G:
            yield from self._changed(one, known, now, away, off_g)

    def _back(
        self, one: Hypothesis, ending: float, now: Moment, away: Away
    ) -> Iterator[Hypothesis]:
        """What had been taken away is back. A brewer that is held drips into the server, and that
        is no water that was poured: it is the weight from before that comes back, with what has
        been poured in since."""
        back_g = now.reading_g + away.shift_g
        gained_g, off_g = back_g - away.level_g, back_g - self._level_g
        known = ending + math.log(RETURN_SHARE * away.probability)
        if away.probability < 1.0:
            gained_g = off_g  # It was a tare most probably, under which water went on.
        variance = BACK_G * BACK_G + now.noise_var
        likely = max(normal(gained_g, variance), normal(off_g, variance))
        off_g = min(off_g, gained_g, key=abs)
        if likely > 1e-12:
            turn = self._turn(one, now, away, back_g)._replace(
                held_g=away.level_g if away.change_g < -LOADED_G else None, near_g=back_g - off_g
            )
            yield one.turned(known + math.log(likely), turn, self._state(one, now, away, back_g))
        if away.change_g < -LOADED_G and away.probability == 1.0:
            off_g = gained_g
            if DRIPPED_G < gained_g < self._most_g(away, now):
                yield self._filled(one, known, now, away)
                if away.pouring:
                    # It ran when the brewer was lifted, and nothing that the scale shows later can
                    # distinguish water from another thing that is on it now.
                    return
        if abs(off_g) > DRIPPED_G:
            yield from self._changed(one, known, now, away, off_g)

    def _filled(self, one: Hypothesis, known: float, now: Moment, away: Away) -> Hypothesis:
        """What had been taken away is back, with water that was poured into it meanwhile."""
        back_g = now.reading_g + away.shift_g
        turn = self._turn(one, now, away, back_g)._replace(water_g=back_g - away.level_g)
        share = FILLED_POURING_SHARE if away.pouring else FILLED_SHARE
        state = running_at(now.ticks, back_g, now.noise_var + SAME_G**2, one.state.drum_s2)
        return one.turned(known + math.log(share / self._most_g(away, now)), turn, state)

    def _changed(
        self, one: Hypothesis, known: float, now: Moment, away: Away, off_g: Grams
    ) -> Iterator[Hypothesis]:
        """What is back holds the water that it held, and weighs more or less all the same."""
        width_g = _changes_g(away)
        share = CHANGED_POURING_SHARE if away.pouring else CHANGED_SHARE
        likely = share * normal(off_g, width_g * width_g + now.noise_var)
        if likely < 1e-12:
            return
        level_g = now.reading_g + away.shift_g - off_g
        turn = self._turn(one, now, away._replace(shift_g=level_g - now.reading_g), level_g)
        state = self._state(one, now, away, level_g)
        yield one.turned(known + math.log(likely), turn._replace(keeps_level=True), state)

    def _turn(self, one: Hypothesis, now: Moment, away: Away, level_g: Grams) -> Turn:
        change_g = one.shift_g - away.shift_g
        return Turn(now.ticks, TurnKind.RETURN, away.shift_g, one.tares_g, level_g, change_g)

    def _state(self, one: Hypothesis, now: Moment, away: Away, level_g: Grams) -> FilterState:
        """The filter once it stands again with nothing poured in: where water ran before, the same
        as with water, so that neither is believed for how it takes the readings to come; else no
        water runs, whatever has dripped into the server."""
        variance, drum_s2 = now.noise_var + SAME_G**2, one.state.drum_s2
        if away.change_g > -LOADED_G:
            return carried_over(one.state, now.ticks, level_g, variance)
        if away.pouring:
            return running_at(now.ticks, level_g, variance, drum_s2)
        return state_at(now.ticks, level_g, variance, RESTS_PROBABILITY, drum_s2)

    def _most_g(self, away: Away, now: Moment) -> Grams:
        """The most that can have been poured into what is back."""
        away_s = self._scene.t_s - away.since_s + (now.ticks - self._start_ticks) / TICKS_PER_S
        return MOST_FLOW_GPS * away_s if away_s < MOST_HELD_S else 0.0

    def _let_go(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """A hand that pressed has let go: the weight rests where it rested before."""
        ticks, reading_g, noise_var = now[:3]
        expected_g, _ = one.expected(ticks)
        lifted = (it.shift_g for it in self._scene.away if it.change_g < -LOADED_G)
        known = {one.shift_g, *lifted}
        rests = [(g, shift_g) for g, shift_g in self._scene.rests if shift_g not in known]
        if self._scene.lifted_g + one.taken_g() > LOADED_G:
            # What is put back has its water in it: of each shift the newest level alone.
            rests = list({shift_g: (g, shift_g) for g, shift_g in rests}.values())
        elif reading_g > expected_g - one.shift_g - (0.0 if one.off else SAME_G):
            # A second hand only passes the level at which the first held still, and none goes
            # while the reading stays where it is.
            return
        for level_g, shift_g in rests:
            back_g = reading_g + shift_g
            likely = normal(back_g - level_g, BACK_G * BACK_G + noise_var)
            likely *= RETURN_SHARE * math.exp(-abs(expected_g - level_g) / PRESS_G)
            if likely < 1e-12:
                continue
            turn = Turn(
                *(ticks, TurnKind.RETURN, shift_g, one.tares_g, back_g),
                change_g=one.shift_g - shift_g,
                let_go=True,
                near_g=level_g,
            )
            state = carried_over(one.state, ticks, back_g, noise_var + SAME_G**2)
            yield one.turned(ending + math.log(likely), turn, state)


def _changes_g(away: Away) -> Grams:
    """By how much it may weigh more or less when it is back, or a hand of what lay on it."""
    return BACK_G + CHANGES_BY * abs(away.change_g)
