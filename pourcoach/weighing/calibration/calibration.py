"""Counts to grams: a line through known loads, how surely, and what is wrong with it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams
from pourcoach.statistics.line_fit import fit_line
from pourcoach.weighing.calibration.adc_code import saturated
from pourcoach.weighing.calibration.calibration_doubts import calibration_doubts
from pourcoach.weighing.loads.known_load import KnownLoad

# A brewer, a server and the water of a brew: what a calibration should cover at least. Common
# practice; no published source.
USUAL_LOAD_G = 500.0
# A line carried on beyond its heaviest weight by more than this multiplies that weight's error.
FURTHEST_REACH = 2.0
# Half of the interval that a kitchen scale shows: a residual below it is of no account.
RESIDUAL_G = 0.05
# A residual beyond this many standard errors of its mean is no noise.
RESIDUAL_ERRORS = 3.0


@dataclass(frozen=True, slots=True)
class Calibration:
    """``grams = (counts - empty_counts) / counts_per_g``."""

    counts_per_g: float
    """Negative where the cell is mounted or wired the other way round."""
    empty_counts: float

    def grams(self, counts: float) -> Grams:
        """The load that gives these counts."""
        return (counts - self.empty_counts) / self.counts_per_g


@dataclass(frozen=True, slots=True)
class CalibrationFit:
    """A calibration with what it was made from."""

    calibration: Calibration
    loads: tuple[KnownLoad, ...]
    residuals_g: tuple[Grams, ...]
    """What each load would be shown as, less what it is."""
    span_error: float | None
    """Relative standard error of ``counts_per_g``; None with two loads, which always fit."""
    error_at_usual_g: Grams | None
    """Standard error of a weight of USUAL_LOAD_G by this line, the loads taken as exact; None
    with two loads."""
    warnings: tuple[str, ...]
    """What could be better."""
    doubts: tuple[str, ...]
    """Why it should not be kept as it is, and what is likely wrong; empty for a good one."""


def fit_calibration(loads: Sequence[KnownLoad]) -> CalibrationFit:
    """Least squares of mean counts on known grams; the empty scale is a load of 0 g.

    The errors come from the residuals, and are no less than the noise of the means. Raises
    UsageError where no calibration can be made: fewer than two different loads, a saturated
    converter, counts that do not change.
    """
    for load in loads:
        if saturated(load.shown):
            raise UsageError(
                f"the converter is at the end of its range with {load.true_g:g} g on",
                "use a lower gain or a cell for a heavier load, and check its wiring",
            )
    if len({load.true_g for load in loads}) < 2:
        raise UsageError("one load gives no line", "weigh the empty scale and a known weight")
    line = fit_line([load.true_g for load in loads], [load.shown for load in loads])
    mean_noises = [load.noise / math.sqrt(load.readings) for load in loads]
    noise = math.sqrt(math.fsum(value * value for value in mean_noises) / len(loads))
    lightest_g, heaviest_g = (pick(load.true_g for load in loads) for pick in (min, max))
    change = abs(line.slope) * (heaviest_g - lightest_g)
    if change <= RESIDUAL_ERRORS * noise or change == 0.0:
        raise UsageError(
            "the counts do not change with the load",
            "check the cell's wiring and that the platform touches nothing but the cell",
        )
    span_error = error_at_usual_g = None
    if line.residual_sd is not None:
        spread = max(noise, line.residual_sd)
        span_error = spread / math.sqrt(line.spread_x) / abs(line.slope)
        error_at_usual_g = spread * math.sqrt(line.leverage(USUAL_LOAD_G)) / abs(line.slope)
    residuals_g = tuple(residual / line.slope for residual in line.residuals)
    doubt_g = noise / abs(line.slope)
    return CalibrationFit(
        Calibration(line.slope, line.intercept),
        tuple(loads),
        residuals_g,
        span_error,
        error_at_usual_g,
        tuple(_warnings(loads, residuals_g, doubt_g)),
        calibration_doubts(loads, line, span_error),
    )


def _warnings(
    loads: Sequence[KnownLoad], residuals_g: Sequence[Grams], doubt_g: Grams
) -> list[str]:
    warnings = []
    heaviest_g = max(load.true_g for load in loads)
    if min(load.true_g for load in loads) > 0.0:
        warnings.append("the empty scale was not weighed: its zero is carried on from the weights")
    if heaviest_g * FURTHEST_REACH < USUAL_LOAD_G:
        warnings.append(
            f"the heaviest weight, {heaviest_g:g} g, is light for brews of {USUAL_LOAD_G:g} g: "
            f"use one of {USUAL_LOAD_G / FURTHEST_REACH:g} g or more"
        )
    worst = max(range(len(loads)), key=lambda index: abs(residuals_g[index]))
    worst_g = residuals_g[worst]
    if abs(worst_g) > max(RESIDUAL_G, RESIDUAL_ERRORS * doubt_g):
        warnings.append(
            f"{loads[worst].true_g:g} g lies {worst_g:+.2f} g off the line: check that weight, "
            "that it stood in the middle, and that nothing touches the platform"
        )
    return warnings
