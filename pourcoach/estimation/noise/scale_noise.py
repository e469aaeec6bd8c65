"""The noise of a scale at rest, as far as it has been learnt."""

from dataclasses import dataclass

from pourcoach.domain.units import Grams

# A coarse scale may show no spread at all at rest, and still errs on the move by its rounding,
# spread evenly over a step, and by noise hidden in it, taken as a quarter of a step.
ROUNDING_SHARE = 1.0 / 12.0
HIDDEN_SHARE = 1.0 / 16.0
# No load cell is quieter than a milligram, g².
LEAST_VAR = 1e-6


@dataclass(frozen=True, slots=True)
class ScaleNoise:
    """Of one reading of a platform on which nothing happens."""

    rest_var: float
    """g²"""
    correlation: float = 0.0
    """From one reading to the next, 0 to below 1: noise that fades."""
    step_g: Grams = 0.0
    """Readings are rounded to this."""

    @property
    def rounding_var(self) -> float:
        """Of the rounding of a weight on the move, g²."""
        return ROUNDING_SHARE * self.step_g**2

    @property
    def fading_var(self) -> float:
        """The part that fades, g². Rounding never does, nor is it known of what rounding hides."""
        if self.correlation <= 0.0:
            return 0.0
        return max(self.rest_var - self.rounding_var, 0.0)

    @property
    def white_var(self) -> float:
        """The part that differs from reading to reading, g²."""
        least = self.rounding_var + HIDDEN_SHARE * self.step_g**2
        return max(max(self.rest_var, least) - self.fading_var, LEAST_VAR)
