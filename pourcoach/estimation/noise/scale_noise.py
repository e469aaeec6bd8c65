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
    """The noise of one reading while nothing happens on the platform."""

    rest_var: float
    """Variance at rest, g²."""
    correlation: float = 0.0
    """Correlation from one reading to the next, at least 0 and below 1."""
    step_g: Grams = 0.0
    """Readings are rounded to this."""

    @property
    def rounding_var(self) -> float:
        """Variance that rounding adds to a moving weight, g²."""
        return ROUNDING_SHARE * self.step_g**2

    @property
    def fading_var(self) -> float:
        """Variance of the correlated part, g². Rounding is not correlated, and of noise that it
        hides this is not known."""
        if self.correlation <= 0.0:
            return 0.0
        return max(self.rest_var - self.rounding_var, 0.0)

    @property
    def white_var(self) -> float:
        """Variance of the part that is independent from reading to reading, g²."""
        least = self.rounding_var + HIDDEN_SHARE * self.step_g**2
        return max(max(self.rest_var, least) - self.fading_var, LEAST_VAR)
