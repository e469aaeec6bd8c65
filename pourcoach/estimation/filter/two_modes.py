"""Is water coming in, and how fast: two models of the weight, weighed against each other.

STILL holds the weight; POUR moves it by the wobble model. Both are Kalman filters, mixed at
each reading by the interacting multiple model method (Blom & Bar-Shalom 1988, IEEE Trans.
Automatic Control 33:780). A reading is either good, with normal noise, or a touch, anywhere
within ``TOUCH_RANGE_G``; each update is weighted by the probability that the reading is good,
as in probabilistic data association (Bar-Shalom & Tse 1975, Automatica 11:451).

Water that runs drums on the platform: the noise of a reading grows with the flow, by how much is
learnt while it runs.
"""

import math

from pourcoach.domain.units import Grams, GramsPerSecond
from pourcoach.estimation.filter.filter_state import (
    FRESH_FLOW_GPS,
    FRESH_FLOW_VAR,
    FRESH_RISE_GPS2,
    FRESH_RISE_VAR,
    FRESH_WOBBLE_GPS,
    FRESH_WOBBLE_VAR,
    FilterState,
    state_at,
)
from pourcoach.estimation.filter.wobble_filter import correct, predict
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S, WobbleModel, steps_of

# How often a pour starts or ends, a second of the other state.
SWITCH_PER_S = 0.04
SWITCH_PER_TICK = SWITCH_PER_S / TICKS_PER_S
# Below this flow nobody pours; how soon a flow below it counts against POUR, ms.
LEAST_FLOW_GPS = 0.5
ONE_WAY_TICKS = 50.0
# In a gap the flow is not known well enough for it to count any more.
MOST_COUNTED_TICKS = 200.0
# How a still weight may creep, g²/s.
STILL_DRIFT = 1e-4
# Water is this likely where nothing has been seen yet.
UNSEEN_POUR = 1e-3
# Neither mode is ever quite out of the question.
LEAST_DOUBT = 1e-9
# One reading in a hundred is a touch, spread evenly over this range.
TOUCH_SHARE = 0.01
TOUCH_RANGE_G = 50.0
# The density of a touch where it is known to be none, 1/g.
NO_TOUCH = 1e-12
_TOUCH_DENSITY = TOUCH_SHARE / TOUCH_RANGE_G
_GOOD_SHARE = (1.0 - TOUCH_SHARE) / math.sqrt(2.0 * math.pi)
# Drumming, as variance of a reading over flow squared, s²: 0.024² was measured under robot pours,
# and is an upper guess for a kettle; a hundredth of a second is believed before any is seen.
USUAL_DRUM_S2 = 0.01**2
MOST_DRUM_S2 = 0.08**2
DRUM_MEMORY = 12.0
# It is learnt while a pour is this sure and runs this fast; a reading further off than this many
# deviations counts as no further.
DRUM_PROBABILITY = 0.95
DRUM_FLOW_GPS = 1.0
DRUM_SIGMAS = 3.0
# Readings this far apart share no drumming, which fades in some 25 ms (measured under robot pours):
# what two of them in a row are both off by is the hand's.
APART_TICKS = 40
# What is learnt of it wanders by so much where there is none: where it counted in full, the flow
# now was up to 3 % worse on a quiet scale, and the flow 0.2 s late 9 %; less these, up to 1.6 %
# and 1.2 %. Until a pour is as sure as this, what is usual counts in full, lest a quick start be a
# touch.
DOUBTED_PROBABILITY = 0.99
DOUBTED_DRUM_S2 = 0.5 * USUAL_DRUM_S2
UNSURE_DRUM_S2 = 2.0 * USUAL_DRUM_S2


class TwoModeFilter:
    """Estimates weight and flow from the readings so far, on a grid of milliseconds."""

    __slots__ = (
        "_steps",
        "flow_gps",
        "flow_var",
        "likelihood",
        "mass_g",
        "mass_var",
        "pour_flow_gps",
        "state",
    )

    def __init__(
        self, ticks: int, level_g: Grams, variance: float, model: WobbleModel | None = None
    ) -> None:
        """Starts still, at a level known with ``variance`` (g²)."""
        self._steps = steps_of(model or WobbleModel())
        self.likelihood = 1.0
        """Density (1/g) of the last reading, given those before it and that it is no touch."""
        self.state: FilterState
        """All that is known after the last reading."""
        self.mass_g: Grams
        """The weight, both modes together."""
        self.mass_var: float
        """Its variance, g²."""
        self.flow_gps: GramsPerSecond
        """The flow, both modes together."""
        self.flow_var: float
        """Its variance, (g/s)²."""
        self.pour_flow_gps: GramsPerSecond
        """The flow on the assumption that water is coming in."""
        self.restore(state_at(ticks, level_g, variance, UNSEEN_POUR, USUAL_DRUM_S2))

    def restore(self, state: FilterState) -> None:
        """Continue from this state. Weight and flow become the means and variances of the
        mixture."""
        self.state = state
        _, level, level_var, p1, x, p, _, _, _ = state
        p0 = 1.0 - p1
        apart = x[0] - level
        self.pour_flow_gps = flow = x[1] + x[2]
        spread = p0 * p1
        self.mass_g = p0 * level + p1 * x[0]
        self.mass_var = p0 * level_var + p1 * p[0] + spread * apart * apart
        self.flow_gps = p1 * flow
        self.flow_var = p1 * (p[4] + 2.0 * p[5] + p[7]) + spread * flow * flow

    def runs_backwards(self, below_gps: GramsPerSecond) -> bool:
        """Whether water seems to leave faster than ``below_gps`` (negative) by two standard
        errors."""
        if self.pour_flow_gps >= below_gps or self.state.pour_probability < 0.5:
            return False
        p = self.state.p
        return self.pour_flow_gps < below_gps - 2.0 * math.sqrt(p[4] + 2.0 * p[5] + p[7])

    def expect_tail(self, off_g: Grams) -> None:
        """After a reading that was off by so much while the level still settles: the next may be as
        far off, so that it does not count against the level how long its tail is."""
        state = self.state
        self.restore(state._replace(level_var=max(state.level_var, off_g * off_g)))

    @property
    def drum_var(self) -> float:
        """Variance that drumming adds to a reading now, as far as it is surely learnt, g²."""
        sure_s2 = self.state.drum_s2 - UNSURE_DRUM_S2
        if sure_s2 <= 0.0:
            return 0.0
        flow_gps = self.pour_flow_gps
        return self.state.pour_probability * sure_s2 * flow_gps * flow_gps

    def update(
        self,
        at_ticks: int,
        grams: Grams,
        noise_var: float,
        *,
        no_touch: bool = False,
    ) -> None:
        """Take the reading weighed at ``at_ticks`` (ms), with its noise variance (g²).

        ``no_touch``: the reading is assumed to be no touch. Water is then taken to stop only at a
        reading; if it could stop anywhere between two, a blow in the water would pass for a stop.
        """
        (
            before_ticks,
            level,
            level_var,
            p1,
            (w, q, m, d),
            (p00, p01, p02, p03, p11, p12, p13, p22, p23, p33),
            _,
            drum_s2,
            error_g,
        ) = self.state
        ticks = at_ticks - before_ticks
        p0 = 1.0 - p1
        switch = SWITCH_PER_TICK * ticks
        if switch > 0.5:
            switch = 0.5
        next1 = p1 * (1.0 - switch) + p0 * switch
        next0 = 1.0 - next1
        from_still = p0 * switch / next1
        from_pour = p1 * switch / next0

        # Mix: POUR takes in a fresh pour from STILL, STILL takes in a stop from POUR. The stop came
        # at any moment since the last reading, and water ran on until then.
        counted = ticks if ticks < MOST_COUNTED_TICKS else MOST_COUNTED_TICKS
        touch_density, run_g = _TOUCH_DENSITY, (q + m) * counted / TICKS_PER_S
        if no_touch:
            touch_density, run_g = NO_TOUCH, 0.0
        elif run_g < 0.0:
            run_g = 0.0
        apart = level - w - 0.5 * run_g
        mixed_level = level - from_pour * apart
        mixed_var = (
            (1.0 - from_pour) * level_var
            + from_pour * (p00 + run_g * run_g / 12.0)
            + from_pour * (1.0 - from_pour) * apart * apart
            + STILL_DRIFT * ticks / TICKS_PER_S
        )
        kept = 1.0 - from_still
        cross = from_still * kept
        ew, eq, em, ed = w - level, q - FRESH_FLOW_GPS, m - FRESH_WOBBLE_GPS, d - FRESH_RISE_GPS2
        cw, cq, cm = cross * ew, cross * eq, cross * em
        step = self._steps[ticks]
        x, p = predict(
            (w - from_still * ew, q - from_still * eq, m - from_still * em, d - from_still * ed),
            (
                kept * p00 + from_still * level_var + cw * ew,
                kept * p01 + cw * eq,
                kept * p02 + cw * em,
                kept * p03 + cw * ed,
                kept * p11 + from_still * FRESH_FLOW_VAR + cq * eq,
                kept * p12 + cq * em,
                kept * p13 + cq * ed,
                kept * p22 + from_still * FRESH_WOBBLE_VAR + cm * em,
                kept * p23 + cm * ed,
                kept * p33 + from_still * FRESH_RISE_VAR + cross * ed * ed,
            ),
            step,
        )

        # Weigh the reading: each mode's likelihood, and how surely it is no touch.
        nu0 = grams - mixed_level
        nu1 = grams - x[0]
        s0 = mixed_var + noise_var
        flow = x[1] + x[2]
        s1 = sure1 = p[0] + noise_var
        if drum_s2 > 0.0:
            s1 += drum_s2 * flow * flow
            doubted_s2 = DOUBTED_DRUM_S2 if p1 > DOUBTED_PROBABILITY else 0.0
            if drum_s2 > doubted_s2:
                sure1 += (drum_s2 - doubted_s2) * flow * flow
        good0 = _GOOD_SHARE * math.exp(-0.5 * nu0 * nu0 / s0) / math.sqrt(s0)
        good1 = _GOOD_SHARE * math.exp(-0.5 * nu1 * nu1 / s1) / math.sqrt(s1)
        like0 = next0 * (good0 + touch_density)
        like1 = next1 * (good1 + touch_density)
        density0, density1 = next0 * good0, next1 * good1
        good0 /= good0 + touch_density
        good1 /= good1 + touch_density
        if p1 > DRUM_PROBABILITY and flow > DRUM_FLOW_GPS:
            squared = nu1 * nu1 if ticks < APART_TICKS else nu1 * (nu1 - error_g)
            drum_s2 = _drummed(drum_s2, squared, s1, p[0], flow, good1)
        x, p = correct(x, p, nu1, sure1, good1)
        # Water only ever comes in: POUR is believed as far as its flow is one.
        flow = x[1] + x[2]
        flow_var = p[4] + 2.0 * p[5] + p[7]
        surely = (flow - LEAST_FLOW_GPS) / math.sqrt(2.0 * flow_var)
        if surely < 1.5:
            one_way = (0.5 + 0.5 * math.erf(surely)) ** (counted / ONE_WAY_TICKS) + 1e-30
            like1 *= one_way
            density1 *= one_way
        self.likelihood = density0 + density1
        p1 = like1 / (like0 + like1)
        if p1 < LEAST_DOUBT:
            p1 = LEAST_DOUBT
        elif p1 > 1.0 - LEAST_DOUBT:
            p1 = 1.0 - LEAST_DOUBT

        # Update each mode.
        gain = mixed_var / s0
        state = (
            at_ticks,
            mixed_level + good0 * gain * nu0,
            mixed_var - good0 * gain * mixed_var + good0 * (1.0 - good0) * gain * gain * nu0 * nu0,
            p1,
            x,
            p,
            p1 * good1 + (1.0 - p1) * good0,
            drum_s2,
            good1 * nu1,
        )
        self.restore(tuple.__new__(FilterState, state))  # At a third of its constructor's time.


def _drummed(
    drum_s2: float,
    squared: float,
    error_var: float,
    model_var: float,
    flow_gps: GramsPerSecond,
    good: float,
) -> float:
    """What is known of the drumming after a reading that is good with this probability.

    Its error ``squared`` was expected to be ``error_var``, of which ``model_var`` is not the
    reading's: of what is more, that share is put down to the hand (as in the EM algorithm: Dempster
    et al. 1977, Journal of the Royal Statistical Society B 39:1).
    """
    most = DRUM_SIGMAS * DRUM_SIGMAS * error_var
    if squared > most:
        squared = most
    known = drum_s2 if drum_s2 > 0.0 else 0.0
    seen = known + (squared - error_var) / (flow_gps * flow_gps)
    share = good * (1.0 - model_var / error_var)
    learnt = drum_s2 + share * (seen - drum_s2) / DRUM_MEMORY
    return learnt if learnt < MOST_DRUM_S2 else MOST_DRUM_S2
