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
from pourcoach.estimation.platform.scene import LOADED_G, Away, Scene

# Of all ends of a touch, that it is one of these.
RETURN_SHARE = 0.35
# What is put back may be lighter or heavier, by this share of itself or so, where nothing was
# poured in: a lid, a spoon, a filter. It seldom is, and less often yet in the middle of a pour.
CHANGED_SHARE = 0.05
CHANGED_POURING_SHARE = 0.005
CHANGES_BY = 0.02
# Water is poured into a brewer that is held if it ran already; else hardly ever.
FILLED_POURING_SHARE = 0.5
FILLED_SHARE = 0.02
# Nobody holds one for longer, and pours into it.
MOST_HELD_S = 60.0
# What comes back weighs at least this share of what went.
BACK_SHARE = 0.5
# The longest blow with a flat top.
BLOW_S = 2.0
# A hand seldom presses harder.
PRESS_G = 25.0
# No kettle gives more (common practice).
MOST_FLOW_GPS = 11.0


class PutBack:
    """The returns thought possible on a platform of which this is known."""

    __slots__ = ("_following", "_level_g", "_scene", "_start", "_start_ticks")

    def __init__(
        self, start: FilterState, level_g: Grams, shift_g: Grams, scene: Scene, following: Following
    ) -> None:
        """``level_g``: the unbroken weight before anything moved, under ``shift_g``."""
        self._scene, self._following, self._level_g = scene, following, level_g
        self._start = Away(shift_g, 0.0, scene.t_s, level_g, start.pour_probability > 0.5)
        self._start_ticks = start.ticks

    def returned(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """As it was before a vessel came or went, before a jump of this path, or at a rest before
        the last water; ``ending`` is the log probability that the touch ends here."""
        under = one.under
        if under is not None and under.lasted_s(now.ticks) < BLOW_S:
            going = ending + math.log(RETURN_SHARE)
            yield from self._following.came_back(under, going, now)
        for away in self._scene.away:
            yield from self._as_before(one, ending, now, away)
        if one.taken_g() > LOADED_G:
            start = self._start._replace(change_g=-one.taken_g())
            yield from self._as_before(one, ending, now, start)
        yield from self._let_go(one, ending, now)

    def _as_before(
        self, one: Hypothesis, ending: float, now: Moment, away: Away
    ) -> Iterator[Hypothesis]:
        """What came has gone again, or what went is back."""
        ticks, reading_g, noise_var = now[:3]
        if away.change_g < 0.0 and one.shift_g - away.shift_g < -BACK_SHARE * away.change_g:
            return  # What went has come back since, beside something else that stands there.
        back_g = reading_g + away.shift_g
        # A brewer that is held drips into the server, and that is no water that was poured: it is
        # the weight from before that comes back. Where it was no brewer, what has been poured in
        # since stands there too.
        gained_g, off_g = back_g - away.level_g, back_g - self._level_g
        known = math.log(RETURN_SHARE * away.probability)
        if away.probability < 1.0:
            gained_g = off_g  # It was a tare most probably, under which water went on.
        variance = BACK_G * BACK_G + noise_var
        likely = normal(gained_g, variance)
        if away.change_g > 0.0:
            # With a hand goes what was taken for water under it.
            likely *= math.exp(-away.change_g / PRESS_G) * self._scene.hand_holds
        likely = max(likely, normal(off_g, variance))
        off_g = min(off_g, gained_g, key=abs)
        hand = away.change_g > 0.0 and off_g < -DRIPPED_G
        if hand:
            width_g = BACK_G + CHANGES_BY * away.change_g
            likely = CHANGED_SHARE * normal(off_g, width_g * width_g + noise_var)
        if likely > 1e-12:
            turn = Turn(
                *(ticks, TurnKind.RETURN, away.shift_g, one.tares_g, back_g),
                change_g=one.shift_g - away.shift_g,
                held_g=away.level_g if away.change_g < -LOADED_G else None,
                near_g=back_g - off_g,
            )
            state = carried_over(one.state, ticks, back_g, noise_var + SAME_G**2)
            yield one.turned(ending + known + math.log(likely), turn, state)
        if away.change_g < -LOADED_G and away.probability == 1.0:
            off_g = gained_g
            yield from self._filled(one, ending + known, now, away)
        if abs(off_g) > DRIPPED_G and not hand:
            yield from self._changed(one, ending + known, now, away, off_g)

    def _filled(
        self, one: Hypothesis, known: float, now: Moment, away: Away
    ) -> Iterator[Hypothesis]:
        """What had been taken away is back, with water that was poured into it meanwhile."""
        back_g = now.reading_g + away.shift_g
        water_g = back_g - away.level_g
        away_s = self._scene.t_s - away.since_s + (now.ticks - self._start_ticks) / TICKS_PER_S
        most_g = MOST_FLOW_GPS * away_s
        if away_s > MOST_HELD_S or not DRIPPED_G < water_g < most_g:
            return
        # A brewer that drips while it is held has water in it, and more may come.
        wet = away.pouring or one.state.pour_probability > 0.5
        drum_s2, variance = one.state.drum_s2, now.noise_var + SAME_G**2
        state = (
            running_at(now.ticks, back_g, variance, drum_s2)
            if wet
            else state_at(now.ticks, back_g, variance, 0.5, drum_s2)
        )
        turn = Turn(
            *(now.ticks, TurnKind.RETURN, away.shift_g, one.tares_g, back_g),
            change_g=one.shift_g - away.shift_g,
            water_g=water_g,
        )
        share = FILLED_POURING_SHARE if wet else FILLED_SHARE
        yield one.turned(known + math.log(share / most_g), turn, state)

    def _changed(
        self, one: Hypothesis, known: float, now: Moment, away: Away, off_g: Grams
    ) -> Iterator[Hypothesis]:
        """What is back holds the water that it held, and weighs more or less all the same."""
        ticks, reading_g, noise_var = now[:3]
        width_g = BACK_G + CHANGES_BY * abs(away.change_g)
        share = CHANGED_POURING_SHARE if away.pouring else CHANGED_SHARE
        likely = share * normal(off_g, width_g * width_g + noise_var)
        if likely < 1e-12:
            return
        level_g = reading_g + away.shift_g - off_g
        shift_g = level_g - reading_g
        turn = Turn(
            *(ticks, TurnKind.RETURN, shift_g, one.tares_g, level_g),
            change_g=one.shift_g - shift_g,
            keeps_level=True,
        )
        state = carried_over(one.state, ticks, level_g, noise_var + SAME_G**2)
        yield one.turned(known + math.log(likely), turn, state)

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
        for level_g, shift_g in rests:
            back_g = reading_g + shift_g
            likely = normal(back_g - level_g, BACK_G * BACK_G + noise_var)
            likely *= RETURN_SHARE * math.exp(-abs(expected_g - level_g) / PRESS_G)
            if likely < 1e-12:
                continue
            turn = Turn(
                *(ticks, TurnKind.RETURN, shift_g, one.tares_g, back_g),
                change_g=one.shift_g - shift_g,
                near_g=level_g,
            )
            state = carried_over(one.state, ticks, back_g, noise_var + SAME_G**2)
            yield one.turned(ending + math.log(likely), turn, state)
