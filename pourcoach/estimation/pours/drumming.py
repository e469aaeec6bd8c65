"""Kinds of drumming thought possible: water shakes the bed as it lands.

Its deviation grows with the flow and is given in seconds of it; it fades within some hundredths of
a second. 0.024 s (quartiles 0.016 to 0.04) and 25 ms were measured under robots' streams into cups,
an upper guess for a bed. A slow scale says little of the strength, and a usual one would be read
into every pour: before any reading no strength stands out.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pourcoach.estimation.noise.whitening import Array, Relaxation

LEAST_S, MOST_S = 0.004, 0.085
"""Its deviation, in seconds of flow."""
SHORTEST_S, LONGEST_S = 0.01, 0.07
"""How long it may last."""
# How long it usually lasts, give or take a factor: on a bed, which is softer, longer than under
# robots' streams into cups (assumed; under what lasts twice as long or half as long evenness is
# still off by less than a hundredth, on two kinds of simulated platform).
USUAL_FADE_S, FADE_FACTOR = 0.035, 2.0
# By the logarithm of the strength its probability grows with this power of it: half way between all
# strengths as likely by their logarithms, under which a slow scale's pours of strong drumming come
# out too uneven, and all as likely by themselves, under which those without any come out too even
# (both simulated).
STRENGTH_POWER = 0.5
# The first grid, in factors from one value to the next, finds the region; the second fills it.
COARSE_STRENGTH, COARSE_FADE = 1.7, 2.8
FINE_STRENGTHS, FINE_FADES = 6, 3
# Values this many nats below the best are left out of the second grid.
NEAR_NATS = 6.0


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

    def near(self, log_likelihoods: Callable[[Relaxation], Array]) -> "Drummings":
        """Those that readings, by these log likelihoods, do not rule out; they are counted in."""
        log_prior = self.log_prior + log_likelihoods(self.relaxation())
        near = log_prior > log_prior.max() - NEAR_NATS
        return Drummings(self.strengths_s[near], self.fades_s[near], log_prior[near])

    def filled(self, log_posterior: Array) -> "Drummings":
        """A finer grid where this one, with these values (g,), says that it matters."""
        near = (log_posterior > log_posterior.max() - NEAR_NATS) & (self.strengths_s > 0.0)
        strengths, fades = self.strengths_s[near], self.fades_s[near]
        if not near.any():
            strengths, fades = np.array([LEAST_S]), np.array([SHORTEST_S, LONGEST_S])
        return _grid(
            _between(
                max(strengths.min() / COARSE_STRENGTH, LEAST_S),
                min(strengths.max() * COARSE_STRENGTH, MOST_S),
                FINE_STRENGTHS,
            ),
            _between(
                max(fades.min() / math.sqrt(COARSE_FADE), SHORTEST_S),
                min(fades.max() * math.sqrt(COARSE_FADE), LONGEST_S),
                FINE_FADES,
            ),
        )


def coarse() -> Drummings:
    """All that is thought possible."""
    strengths = math.ceil(math.log(MOST_S / LEAST_S) / math.log(COARSE_STRENGTH)) + 1
    return _grid(
        _between(LEAST_S, MOST_S, strengths),
        _between(
            SHORTEST_S * math.sqrt(COARSE_FADE) ** 0.5, LONGEST_S / math.sqrt(COARSE_FADE) ** 0.5, 2
        ),
    )


def _between(least: float, most: float, count: int) -> Array:
    return np.geomspace(least, most, count)


def _grid(strengths_s: Array, fades_s: Array) -> Drummings:
    strengths, fades = (one.ravel() for one in np.meshgrid(strengths_s, fades_s, indexing="ij"))
    # Each point stands for a cell of the logarithms; that there is none, for one of the coarse
    # grid's lowest.
    strength_cell, fade_cell = (math.log(one[1] / one[0]) for one in (strengths_s, fades_s))
    off = np.log(fades / USUAL_FADE_S) / math.log(FADE_FACTOR)
    usual = math.sqrt(2.0 * math.pi) * math.log(FADE_FACTOR)
    log_prior = math.log(strength_cell) + STRENGTH_POWER * np.log(strengths / LEAST_S)
    log_prior += math.log(fade_cell / usual) - 0.5 * off * off
    return Drummings(
        np.concatenate([[0.0], strengths]),
        np.concatenate([[fades_s[0]], fades]),
        np.concatenate([[math.log(math.log(COARSE_STRENGTH))], log_prior]),
    )
