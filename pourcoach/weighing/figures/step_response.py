"""A load lifted off at once: how long the readings take to follow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.weighing.figures.finding import Finding, Sentence

# Mean of so many readings at either end of the stretch gives the two levels.
LEVEL_READINGS = 5
# A step must stand out of the noise, or its crossings are noise.
LEAST_STEP_G: Grams = 5.0


@dataclass(frozen=True, slots=True)
class StepResponse:
    """Of one step, from one level to another."""

    size_g: Grams
    """Negative where the load was taken off."""
    rise_s: Seconds
    """From a tenth to nine tenths. Holds the hand's own time, some hundredths of a second."""


@dataclass(frozen=True, slots=True)
class StepResponses:
    """Of all steps that were made, one or more."""

    steps: tuple[StepResponse, ...]

    def findings(self) -> Iterator[Finding]:
        slowest_s = max(step.rise_s for step in self.steps)
        yield Finding("step, tenth to nine tenths", f"{slowest_s * 1000:.0f} ms at most")

    def sentences(self) -> Iterator[Sentence]:
        return iter(())


def step_response(readings: Sequence[Reading]) -> StepResponse:
    """A stretch that begins on one level at rest and ends on another.

    Raises UsageError where there is no such step in it.
    """
    if len(readings) < 2 * LEVEL_READINGS:
        raise UsageError("too few readings to see a step", "wait a second before and after it")
    from_g = sum(one.grams for one in readings[:LEVEL_READINGS]) / LEVEL_READINGS
    to_g = sum(one.grams for one in readings[-LEVEL_READINGS:]) / LEVEL_READINGS
    if abs(to_g - from_g) < LEAST_STEP_G:
        raise UsageError(
            f"the weight changed by only {abs(to_g - from_g):.1f} g",
            f"use a load of {LEAST_STEP_G:g} g or more",
        )
    stamps = [reading.device_s for reading in readings if reading.device_s is not None]
    # Arrival comes in bursts: the scale's own stamps are better where it sends them.
    times = stamps if len(stamps) == len(readings) else [reading.t_s for reading in readings]
    shares = [(reading.grams - from_g) / (to_g - from_g) for reading in readings]
    tenth_s, most_s = (_crossing(times, shares, level) for level in (0.1, 0.9))
    return StepResponse(to_g - from_g, most_s - tenth_s)


def _crossing(times: Sequence[Seconds], shares: Sequence[float], level: float) -> Seconds:
    """When the share last rose through the level, between readings on a straight line."""
    for index in range(len(shares) - 1, 0, -1):
        below, above = shares[index - 1], shares[index]
        if below < level <= above:
            part = (level - below) / (above - below)
            return times[index - 1] + part * (times[index] - times[index - 1])
    raise UsageError("the weight did not go straight from one level to the other", "try again")
