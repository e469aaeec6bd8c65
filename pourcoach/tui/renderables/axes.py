"""Where a moment and a mass lie on a chart, and which numbers stand beside it."""

from dataclasses import dataclass
from math import floor

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds

HEADROOM = 1.08
"""Of the plan's water, so that an overshoot can be seen."""
TAILROOM = 1.06
"""Of the plan's finish, so that a slow drain can be seen."""
GROWTH = 1.3
"""Where a curve leaves the chart. Rarely, since everything is redrawn."""
PLANLESS_S: Seconds = 90.0
PLANLESS_G: Grams = 150.0

_STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600)
_STEPS_G = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True, slots=True)
class Extent:
    """What a chart spans: all of a brew from 0, or a part of it."""

    span_s: Seconds
    span_g: Grams
    from_s: Seconds = 0.0
    from_g: Grams = 0.0

    @classmethod
    def of_plan(cls, plan: Plan | None) -> "Extent":
        """Room for a plan and a little more."""
        if plan is None:
            return cls(PLANLESS_S, PLANLESS_G)
        last_s = max(plan.finish_s, plan.stage_end_s(len(plan.stages) - 1))
        return cls(last_s * TAILROOM, max(plan.water_g, plan.stages[-1].to_g) * HEADROOM)

    def at(self, brew_s: Seconds, columns: int) -> int:
        """The column of a moment, of ``columns``; outside of them where it lies outside."""
        return floor((brew_s - self.from_s) / self.span_s * columns)

    def height_of(self, mass_g: Grams, rows: int) -> int:
        """How many of ``rows`` lie below a mass."""
        return floor((mass_g - self.from_g) / self.span_g * rows)

    def holds(self, brew_s: Seconds) -> bool:
        """Whether the moment lies within."""
        return self.from_s <= brew_s <= self.from_s + self.span_s

    def holding(self, brew_s: Seconds, mass_g: Grams) -> "Extent":
        """This extent, or a larger one that holds the point."""
        span_s = self.span_s if brew_s < self.span_s else brew_s * GROWTH
        span_g = self.span_g if mass_g < self.span_g else mass_g * GROWTH
        return self if (span_s, span_g) == (self.span_s, self.span_g) else Extent(span_s, span_g)


def step_s(span_s: Seconds, columns: int) -> int:
    """Seconds between numbers below a chart: about nine columns for each."""
    return _step(span_s, max(1, columns // 9), _STEPS_S)


def step_g(span_g: Grams, rows: int) -> int:
    """Grams between numbers beside a chart: about three rows for each."""
    return _step(span_g, max(1, rows // 3), _STEPS_G)


def _step(span: float, most: int, steps: tuple[int, ...]) -> int:
    return next((step for step in steps if span / step <= most), steps[-1])
