"""Numbers along an axis, and where a value stands on it."""

from dataclasses import dataclass
from math import ceil, floor

SECONDS = (5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600)
"""Steps that a clock is read in."""


@dataclass(frozen=True, slots=True)
class Axis:
    """``low`` stands at pixel ``from_px``, ``high`` at ``to_px``."""

    low: float
    high: float
    from_px: float
    to_px: float

    def px(self, value: float) -> float:
        """Where a value stands; a value beyond the axis stands at its end."""
        share = (value - self.low) / (self.high - self.low)
        return self.from_px + min(max(share, 0.0), 1.0) * (self.to_px - self.from_px)

    def ticks(self, steps: tuple[float, ...]) -> list[float]:
        """Multiples of the first of ``steps`` that leaves at most about one in 60 pixels across,
        or 32 down; of the last where none does."""
        length = abs(self.to_px - self.from_px)
        most = max(1.0, length / (60.0 if self.to_px > self.from_px else 32.0))
        span = self.high - self.low
        step = next((step for step in steps if span / step <= most), steps[-1])
        first, last = ceil(self.low / step - 1e-9), floor(self.high / step + 1e-9)
        return [number * step for number in range(first, last + 1)]


def round_steps(span: float) -> tuple[float, ...]:
    """1, 2 and 5 times the powers of ten about a span."""
    power = 1.0
    while power * 1000 < span:
        power *= 10
    while power > span:
        power /= 10
    return tuple(power * 10**place * one for place in range(-2, 4) for one in (1, 2, 5))
