"""Kinds of drumming thought possible: water shakes the bed as it lands.

Its deviation grows with the flow and is given in seconds of it; it fades within some hundredths of
a second. 0.024 s (quartiles 0.016 to 0.04) and 25 ms were measured under robots' streams into cups,
an upper guess for a bed. A slow scale says little of the strength, and a usual one would be read
into every pour: before any reading no strength stands out.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

import numpy as np

from pourcoach.estimation.noise.whitening import Array, Relaxation

LEAST_S, MOST_S = 0.004, 0.085
"""Its deviation, in seconds of flow."""
SHORTEST_S, LONGEST_S = 0.01, 0.12
"""How long it may last: to either side of what is usual about as far."""
# How long it usually lasts, give or take a factor: on a bed, which is softer, longer than under
# robots' streams into cups (assumed). A scale that averages shows it longer still.
USUAL_FADE_S, FADE_FACTOR = 0.035, 2.0
# By the logarithm of the strength its probability grows with this power of it: half way between all
# strengths as likely by their logarithms, under which a slow scale's pours of strong drumming come
# out too uneven, and all as likely by themselves, under which those without any come out too even
# (both simulated).
STRENGTH_POWER = 0.5
# Strengths that the scatter of readings leaves, within so many nats, are found in steps of this
# factor. A long pour on a fast scale leaves a tenth to either side, over which a grid that is the
# same for all pours would step: what lies nearest to one of its points by chance would win, however
# little the readings agree with how long it lasts.
LEFT_NATS, TABLED_STRENGTH = 4.0, 1.04
# The first grid finds the region, in cells of up to these factors; the second fills it in smaller
# ones, with at least so many strengths where few are left and at most so many where the readings
# leave all (finer ones moved no figure by a tenth of its error).
COARSE_STRENGTH, COARSE_FADE = 1.7, 3.5
FINE_STRENGTH, FINE_FADE = 1.25, 2.3
LEAST_STRENGTHS, MOST_STRENGTHS = 3, 6
# Values this many nats below the best are left out of the second grid.
NEAR_NATS = 6.0

LogLikelihoods: TypeAlias = Callable[[Relaxation], Array]
"""Of (g,) kinds of drumming."""


@dataclass(frozen=True, slots=True)
class Drummings:
    """A grid of hypotheses; the first is that there is none."""

    strengths_s: Array
    """(g,)"""
    fades_s: Array
    """(g,)"""
    log_prior: Array
    """(g,) of each with the stretch of the grid that it stands for."""

    @property
    def silent(self) -> bool:
        """Whether none is thought possible any more."""
        return not self.strengths_s.any()

    def relaxation(self) -> Relaxation:
        """As noise of readings in units of the mean flow."""
        return Relaxation(self.strengths_s**2, self.fades_s)

    def filled(self, log_posterior: Array, log_likelihoods: LogLikelihoods) -> "Drummings":
        """A finer grid where this one, with these values (g,), says that it matters."""
        near = (log_posterior > log_posterior.max() - NEAR_NATS) & (self.strengths_s > 0.0)
        strengths, fades = self.strengths_s[near], self.fades_s[near]
        if not near.any():
            strengths, fades = np.array([LEAST_S]), np.array([SHORTEST_S, LONGEST_S])
        beside = math.sqrt(COARSE_FADE)
        return _grid(
            _cells(
                max(fades.min() / beside, SHORTEST_S),
                min(fades.max() * beside, LONGEST_S),
                FINE_FADE,
            ),
            max(strengths.min() / COARSE_STRENGTH, LEAST_S),
            min(strengths.max() * COARSE_STRENGTH, MOST_S),
            log_likelihoods,
            partial(_cells, factor=FINE_STRENGTH, fewest=LEAST_STRENGTHS, most=MOST_STRENGTHS),
        )


def coarse(log_likelihoods: LogLikelihoods) -> Drummings:
    """All that is thought possible and that readings, by these log likelihoods, do not rule out;
    they are counted in."""
    return _grid(
        _cells(SHORTEST_S, LONGEST_S, COARSE_FADE),
        LEAST_S,
        MOST_S,
        log_likelihoods,
        partial(_cells, factor=COARSE_STRENGTH),
    )


def _cells(
    low: float, high: float, factor: float, fewest: int = 1, most: int | None = None
) -> tuple[Array, float]:
    """The middles of equal cells of the logarithm between two values, each as wide as ``factor`` or
    less where there may be as many, and the logarithm of their width."""
    whole = math.log(high / low)
    count = max(math.ceil(whole / math.log(factor)), fewest)
    if most is not None:
        count = min(count, most)
    cell = whole / count
    return low * np.exp((np.arange(count) + 0.5) * cell), cell


def _grid(
    fades: tuple[Array, float],
    least_s: float,
    most_s: float,
    log_likelihoods: LogLikelihoods,
    strengths_between: Callable[[float, float], tuple[Array, float]],
) -> Drummings:
    """For each of these cells of fades the strengths between two that these log likelihoods leave;
    a fade of which they leave none is left out."""
    fades_s, fade_cell = fades
    tabled, _ = _cells(least_s, most_s, TABLED_STRENGTH)
    strengths, beside = (one.ravel() for one in np.meshgrid(tabled, fades_s))
    tabled_log = log_likelihoods(Relaxation(strengths**2, beside))
    tabled_log += _log_density(strengths, beside)
    # That there is none stands for a cell of the coarse grid's lowest strength.
    silent = math.log(math.log(COARSE_STRENGTH))
    silent += float(log_likelihoods(Relaxation(np.zeros(1), fades_s[:1]))[0])
    left = tabled_log > max(float(tabled_log.max()), silent) - LEFT_NATS
    found = [(np.zeros(1), fades_s[:1], np.full(1, silent))]
    for fade_s, which in zip(fades_s, left.reshape(len(fades_s), -1), strict=True):
        if not which.any():
            continue
        some, cell = strengths_between(
            max(float(tabled[which][0]) / TABLED_STRENGTH, least_s),
            min(float(tabled[which][-1]) * TABLED_STRENGTH, most_s),
        )
        same = np.full(len(some), fade_s)
        log_prior = _log_density(some, same) + log_likelihoods(Relaxation(some**2, same))
        found.append((some, same, log_prior + math.log(cell * fade_cell)))
    return Drummings(*(np.concatenate(part) for part in zip(*found, strict=True)))


def _log_density(strengths_s: Array, fades_s: Array) -> Array:
    """(g,) how probable kinds of drumming are, by the logarithms of both."""
    off = np.log(fades_s / USUAL_FADE_S) / math.log(FADE_FACTOR)
    usual = math.sqrt(2.0 * math.pi) * math.log(FADE_FACTOR)
    density: Array = STRENGTH_POWER * np.log(strengths_s / LEAST_S) - 0.5 * off * off
    return density - math.log(usual)
