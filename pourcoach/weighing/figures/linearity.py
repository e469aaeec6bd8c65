"""Several known loads over the range: errors from zero up, and from the best line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams
from pourcoach.statistics.line_fit import fit_line
from pourcoach.weighing.figures.finding import Finding, Sentence, do
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.verification import Yardstick


@dataclass(frozen=True, slots=True)
class LoadError:
    """One load's error, the error at zero taken off (E_c of OIML R 76-1, A.4.4.3)."""

    load_g: Grams
    error_g: Grams
    limit_g: Grams

    @property
    def within(self) -> bool:
        return abs(self.error_g) <= self.limit_g


@dataclass(frozen=True, slots=True)
class Linearity:
    """Errors of a set of loads."""

    errors: tuple[LoadError, ...]
    """By rising load; zero itself is left out."""
    span_error: float
    """By how much the best line's slope is off 1: what calibrating would mend."""
    bend_g: Grams
    """The farthest that a load lies off the best line: what calibrating would not mend."""

    @property
    def within(self) -> bool:
        return all(error.within for error in self.errors)

    @property
    def worst(self) -> LoadError:
        """The error that is largest against its limit."""
        return max(self.errors, key=lambda error: abs(error.error_g) / error.limit_g)

    def findings(self) -> Iterator[Finding]:
        for error in self.errors:
            yield Finding(
                f"error at {error.load_g:.6g} g",
                f"{error.error_g:+.3f} g",
                f"{error.limit_g:.3g} g",
                error.within,
            )

    def sentences(self) -> Iterator[Sentence]:
        if self.within:
            return
        if self.bend_g <= self.worst.limit_g:
            yield do(f"calibrate it: its span is off by {self.span_error * 100:+.2f} %")
        else:
            yield do(
                f"look for what touches the platform: loads lie up to {self.bend_g:.2f} g off a "
                "straight line, which calibrating does not mend"
            )


def linearity(loads: Sequence[KnownLoad], yardstick: Yardstick) -> Linearity:
    """Raises UsageError where the empty scale or a load is missing."""
    empty = [load for load in loads if load.true_g == 0.0]
    loaded = sorted((load for load in loads if load.true_g != 0.0), key=lambda load: load.true_g)
    if not empty or not loaded:
        raise UsageError(
            "linearity needs the empty scale and one known load or more",
            "weigh nothing first, then each load",
        )
    zero_g = sum(load.shown for load in empty) / len(empty)
    line = fit_line([load.true_g for load in loads], [load.shown for load in loads])
    return Linearity(
        tuple(
            LoadError(load.true_g, load.error - zero_g, yardstick.limit_g(load.true_g))
            for load in loaded
        ),
        line.slope - 1.0,
        max(abs(residual) for residual in line.residuals),
    )
