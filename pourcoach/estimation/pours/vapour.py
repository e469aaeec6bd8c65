"""Water that goes off as vapour while a pour runs: learnt from how the weight falls after it."""

import math
from dataclasses import replace

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# A wet, hot bed was seen to lose 0.01 to 0.05 g/s: what is expected before anything is learnt,
# and how far a bed may lie from it.
USUAL_GPS: GramsPerSecond = 0.025
SPREAD_GPS: GramsPerSecond = 0.02
# A weight that falls or rises faster at rest is a drift or a hand, and teaches nothing.
MOST_GPS: GramsPerSecond = 0.15
# Slosh has settled after the one; within the other the bed is still nearly as hot as under the
# pour (it cools by about a hundredth a second).
FROM_S: Seconds = 2.0
TO_S: Seconds = 14.0
# Two quiet readings that differ by more do not belong to one rest.
STEP_G: Grams = 3.0
# How much one rest's loss is expected to differ from that of the rest before: the bed fills.
CHANGE_GPS: GramsPerSecond = 0.006
# A pour's end moves by less when it is refined.
SAME_S: Seconds = 1.0
# A rest teaches from this length on; with less of it the slope is noise.
LEAST_S: Seconds = 4.0
LEAST_READINGS = 10
# Noise at rest hangs together from reading to reading by about a half, which makes the variance
# of a slope (1 + 0.5) / (1 - 0.5) times that of white noise.
COLOUR = 3.0


class RestSlope:
    """The slope of the weight over one rest, by least squares as readings come."""

    __slots__ = (
        "_first_s",
        "_g",
        "_gg",
        "_last_g",
        "_last_s",
        "_n",
        "_origin_g",
        "_t",
        "_tg",
        "_tt",
    )

    def __init__(self, t_s: Seconds, grams: Grams) -> None:
        self.restart(t_s, grams)

    def restart(self, t_s: Seconds, grams: Grams) -> None:
        """Begin with this reading."""
        self._first_s = self._last_s = t_s
        self._origin_g = self._last_g = grams
        self._n = 1
        self._t = self._g = self._tt = self._tg = self._gg = 0.0

    def see(self, t_s: Seconds, grams: Grams) -> None:
        """The next quiet reading; where the level has jumped, the slope begins anew."""
        if abs(grams - self._last_g) > STEP_G:
            self.restart(t_s, grams)
            return
        self._last_s, self._last_g = t_s, grams
        t, g = t_s - self._first_s, grams - self._origin_g
        self._n += 1
        self._t += t
        self._g += g
        self._tt += t * t
        self._tg += t * g
        self._gg += g * g

    def slope(self) -> tuple[GramsPerSecond, float] | None:
        """With its variance; None where the rest is too short."""
        n = self._n
        if n < LEAST_READINGS or self._last_s - self._first_s < LEAST_S:
            return None
        about = self._tt - self._t * self._t / n
        slope = (self._tg - self._t * self._g / n) / about
        rest = max(self._gg - self._g * self._g / n - slope * slope * about, 0.0)
        return slope, COLOUR * rest / (n - 2) / about


class VapourLearner:
    """Learns after each pour how fast the bed loses weight, and what went off during the pour.

    What is learnt after one pour is expected after the next, so that a short rest or a coarse
    scale changes it only as far as it can be trusted.
    """

    __slots__ = ("_after_s", "_fall", "_gps", "_losses", "_var", "found", "pours")

    def __init__(self) -> None:
        self._gps, self._var = USUAL_GPS, SPREAD_GPS**2
        self._losses: list[tuple[Seconds, GramsPerSecond]] = []
        """After the pour that ended about then: the loss."""
        self._after_s: Seconds | None = None
        self._fall: RestSlope | None = None
        self.found: tuple[Pour, ...] = ()
        """The pours as ``with_losses`` was last given them."""
        self.pours: tuple[Pour, ...] = ()
        """The same with what went off during each, as far as that is learnt; the same tuple until
        one comes or changes."""

    def rested(self, t_s: Seconds, grams: Grams) -> None:
        """A quiet reading at rest; ``grams`` whatever was tared since the scale was switched on."""
        after_s = self._after_s
        if after_s is None or t_s - after_s < FROM_S:
            return
        if t_s - after_s > TO_S:
            self._learn()
        elif self._fall is None:
            self._fall = RestSlope(t_s, grams)
        else:
            self._fall.see(t_s, grams)

    def with_losses(self, pours: tuple[Pour, ...]) -> tuple[Pour, ...]:
        """``pours``, once these have been found. To be called with every change."""
        if pours is not self.found:
            self.found = self.pours = pours
            end_s = pours[-1].end_s if pours else None
            if end_s is None:
                self._learn()
            elif self._after_s is None or abs(end_s - self._after_s) > SAME_S:
                self._learn()
                known = any(abs(end_s - at_s) < SAME_S for at_s, _ in self._losses)
                self._after_s = None if known else end_s
            self.pours = self._worked_out()
        return self.pours

    def close(self) -> tuple[Pour, ...]:
        """Nothing more comes: learn from the rest so far."""
        self._learn()
        return self.pours

    def _learn(self) -> None:
        """The rest under way is over, or has taught all it can."""
        after_s, fall = self._after_s, self._fall
        self._after_s = self._fall = None
        slope = None if fall is None else fall.slope()
        if after_s is None:
            return
        if slope is not None and abs(slope[0]) <= MOST_GPS + 2.0 * math.sqrt(slope[1]):
            var = self._var + CHANGE_GPS**2
            trust = var / (var + slope[1])
            self._gps += trust * (-slope[0] - self._gps)
            self._var = (1.0 - trust) * var
        elif not self._losses:
            # Nothing has been learnt of this bed yet.
            return
        self._losses.append((after_s, max(self._gps, 0.0)))
        self.pours = self._worked_out()

    def _worked_out(self) -> tuple[Pour, ...]:
        corrected = [self._with_loss(pour) for pour in self.found]
        changed = any(a is not b for a, b in zip(corrected, self.found, strict=True))
        return tuple(corrected) if changed else self.found

    def _with_loss(self, pour: Pour) -> Pour:
        if pour.end_s is None:
            return pour
        for after_s, gps in self._losses:
            if abs(after_s - pour.end_s) < SAME_S:
                return replace(pour, vapour_g=gps * (pour.end_s - pour.start_s))
        return pour
