"""What is known of a finished pour when it is judged in hindsight."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Self

from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.noise.scale_noise import ScaleNoise


@dataclass(frozen=True, slots=True)
class PourReadings:
    """An unbroken weight while water runs, and what spoils it."""

    times_s: Sequence[Seconds]
    """When each was weighed; rising strictly."""
    grams: Sequence[Grams]
    noise: ScaleNoise
    fall_s: Seconds = 0.0
    """From spout to bed; the flow that lands pushes with as much as falls."""
    fall_error_s: Seconds = 0.0
    """Standard error of that."""
    stamp_vars_s2: Sequence[float] = ()
    """Variance of each time, s²; empty where all are sure."""
    hidden: Sequence[tuple[Seconds, Seconds]] = ()
    """Stretches, first to last moment, in which a touch or an outage hides the water."""

    def between(self, from_s: Seconds, to_s: Seconds) -> Self:
        """Readings with ``from_s <= t <= to_s`` that nothing hides."""
        low, high = bisect_left(self.times_s, from_s), bisect_right(self.times_s, to_s)
        if not self.hidden:
            return replace(
                self,
                times_s=self.times_s[low:high],
                grams=self.grams[low:high],
                stamp_vars_s2=self.stamp_vars_s2[low:high],
            )
        kept = [
            i
            for i in range(low, high)
            if not any(a <= self.times_s[i] <= b for a, b in self.hidden)
        ]
        return replace(
            self,
            times_s=[self.times_s[i] for i in kept],
            grams=[self.grams[i] for i in kept],
            stamp_vars_s2=[self.stamp_vars_s2[i] for i in kept] if self.stamp_vars_s2 else (),
        )
