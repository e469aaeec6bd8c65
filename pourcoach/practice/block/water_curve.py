"""The water in the server over time, for the flow in a part of a pour."""

from bisect import bisect_left

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds


class WaterCurve:
    """Takes values in order of time; what lies below the highest so far is noise."""

    def __init__(self) -> None:
        self._times_s: list[Seconds] = []
        self._waters_g: list[Grams] = []

    def append(self, t_s: Seconds, water_g: Grams) -> None:
        """Take the water at a moment."""
        if not self._waters_g or water_g > self._waters_g[-1]:
            self._times_s.append(t_s)
            self._waters_g.append(water_g)

    def flow_gps(self, from_g: Grams, to_g: Grams) -> GramsPerSecond | None:
        """Mean flow between two levels; None where they were not both reached."""
        from_s, to_s = self._reached_s(from_g), self._reached_s(to_g)
        if from_s is None or to_s is None or to_s <= from_s:
            return None
        return (to_g - from_g) / (to_s - from_s)

    def _reached_s(self, water_g: Grams) -> Seconds | None:
        place = bisect_left(self._waters_g, water_g)
        if place == len(self._waters_g) or place == 0:
            return None
        before_g, after_g = self._waters_g[place - 1], self._waters_g[place]
        before_s, after_s = self._times_s[place - 1], self._times_s[place]
        return before_s + (after_s - before_s) * (water_g - before_g) / (after_g - before_g)
