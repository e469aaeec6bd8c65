"""Readings that do not belong: a knock that passes, or a level that has jumped and stays."""

import math
from dataclasses import dataclass

from pourcoach.domain.estimate import Disturbance
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# This many readings in a row off, and agreeing, over at least this time, are a new level.
LEAST_READINGS = 8
LEAST_S = 0.3
# They agree when they lie within this many standard deviations, or this range.
AGREE_SIGMAS = 8.0
AGREE_G = 0.5
# A reading that is off by less is no knock: so much water a flow that suddenly stops, goes on or
# surges makes up since the last good reading, before the filter has followed (common practice).
KNOCK_G = 1.5
KNOCK_GPS = 12.0
# So many readings in a row off, over this time, on a line this straight, with a slope that water
# has, are water.
LEAST_IN_LINE = 4
LINE_S = 0.3
LINE_SIGMAS = 4.0
LINE_G = 0.15
LEAST_SLOPE_GPS = 1.0
# More than this no kettle's spout gives (common practice).
MOST_SLOPE_GPS = 16.0
# A smaller jump is no vessel: slosh that has died away, or a level told a little wrong at a stop.
VESSEL_G = 2.0
# How long a disturbance is said to be in force after its last sign.
KNOCK_LASTS_S = 0.5
JUMP_LASTS_S = 1.0


@dataclass(frozen=True, slots=True)
class Water:
    """A rise that was taken for touches at first."""

    readings: tuple[tuple[Seconds, Grams], ...]
    level_g: Grams
    """At the last of them."""
    flow_gps: GramsPerSecond


class JumpWatch:
    """Looks at the readings that the filter takes for touches."""

    __slots__ = ("_good_s", "_kind", "_off", "until_s")

    def __init__(self) -> None:
        self._off: list[tuple[Seconds, Grams]] = []
        self._kind: Disturbance | None = None
        self.until_s = 0.0
        """Until when the newest disturbance is in force."""
        self._good_s: Seconds | None = None

    def disturbance(self, t_s: Seconds) -> Disturbance | None:
        """In force at this moment."""
        return self._kind if self._kind is not None and t_s < self.until_s else None

    def see(
        self, t_s: Seconds, grams: Grams, expected_g: Grams, good: float, noise_var: float
    ) -> Grams:
        """The jump of the level, once it is told; else 0. ``good``: no touch, as probability."""
        if good >= 0.5:
            self._off.clear()
            self._good_s = t_s
            return 0.0
        self._off.append((t_s, grams))
        since_s = 0.0 if self._good_s is None else t_s - self._good_s
        if abs(grams - expected_g) > KNOCK_G + KNOCK_GPS * since_s:
            self._kind, self.until_s = Disturbance.KNOCK, t_s + KNOCK_LASTS_S
        weights = [g for at_s, g in self._off if at_s >= t_s - LEAST_S]
        if self._off[0][0] > t_s - LEAST_S or len(self._off) < LEAST_READINGS:
            return 0.0
        if len(weights) < LEAST_READINGS:
            weights = [g for _, g in self._off[-LEAST_READINGS:]]
        if max(weights) - min(weights) > max(AGREE_G, AGREE_SIGMAS * math.sqrt(noise_var)):
            return 0.0
        jump_g = sum(weights) / len(weights) - expected_g
        if abs(jump_g) > VESSEL_G:
            self._kind = Disturbance.PLACED if jump_g > 0 else Disturbance.LIFTED
            self.until_s = t_s + JUMP_LASTS_S
        self._off.clear()
        return jump_g

    def water(self, noise_var: float) -> Water | None:
        """Readings taken for touches that rise on a line as only water does, and within its reach
        from where the weight was: they were good after all, and are handed back."""
        newest_s = self._off[-1][0]
        off = [entry for entry in self._off if entry[0] >= newest_s - LINE_S]
        if len(off) < LEAST_IN_LINE:
            off = self._off[-LEAST_IN_LINE:]  # A slow scale needs longer for as many.
        if len(off) < LEAST_IN_LINE or self._off[0][0] > newest_s - LINE_S + 1e-6:
            return None
        if self.disturbance(newest_s) is not None:
            return None
        n = len(off)
        mean_t = sum(t for t, _ in off) / n
        mean_g = sum(g for _, g in off) / n
        slope_gps = sum((t - mean_t) * (g - mean_g) for t, g in off) / sum(
            (t - mean_t) ** 2 for t, _ in off
        )
        if not LEAST_SLOPE_GPS < slope_gps < MOST_SLOPE_GPS:
            return None
        worst_g = max(abs(g - mean_g - slope_gps * (t - mean_t)) for t, g in off)
        if worst_g > LINE_SIGMAS * math.sqrt(noise_var) + LINE_G:
            return None
        readings, self._off = tuple(self._off), []
        return Water(readings, mean_g + slope_gps * (off[-1][0] - mean_t), slope_gps)
