"""How large the next stimulus should be, so that a threshold is found in few trials.

QUEST+ (Watson 2017, Journal of Vision 17(3):10): the posterior of the parameters is kept on a grid,
and the next stimulus is the one after whose answer the least entropy is expected. Staircases of
fixed equal steps miss the shares that they aim at (Garcia-Perez 1998).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

MASS_WITHIN = 0.95
"""Of the posterior, in the stated interval."""


@dataclass(frozen=True, slots=True)
class Threshold:
    """Posterior of the threshold, in the stimuli's unit."""

    mean: float
    deviation: float
    mode: float
    interval: tuple[float, float]
    """Central 95 %."""
    trials: int


class QuestPlus:
    """A Weibull function of a stimulus in decibels: the share of yes is
    1 - lapse - (1 - guess - lapse) exp(-10^(slope (stimulus - threshold) / 20)).

    Several slopes and guess rates may be given; the threshold's posterior is then the marginal one.
    """

    def __init__(
        self,
        stimuli: Sequence[float],
        thresholds: Sequence[float],
        *,
        slopes: Sequence[float] = (3.5,),
        guesses: Sequence[float] = (0.5,),
        lapse: float = 0.02,
        prior: Sequence[float] | None = None,
    ) -> None:
        """``prior`` has a weight for each threshold and is flat by default.

        Raises ValueError where a list is empty or the prior does not fit.
        """
        if not (stimuli and thresholds and slopes and guesses):
            raise ValueError("stimuli, thresholds, slopes and guesses each need a value")
        if prior is not None and len(prior) != len(thresholds):
            raise ValueError(f"{len(prior)} prior weights do not fit {len(thresholds)} thresholds")
        self._stimuli = np.asarray(stimuli, dtype=np.float64)
        self._thresholds = np.asarray(thresholds, dtype=np.float64)
        slope, guess = (
            each.ravel() for each in np.meshgrid(np.asarray(slopes), np.asarray(guesses))
        )
        grown = slope * (self._stimuli[:, None, None] - self._thresholds[:, None]) / 20
        miss = np.exp(-(10.0**grown))
        # Axes: stimulus, threshold, the other parameters.
        self._yes: Floats = 1 - lapse - (1 - guess - lapse) * miss
        weights = np.ones_like(self._thresholds) if prior is None else np.asarray(prior, np.float64)
        shared = np.repeat(weights[:, None], slope.size, axis=1)
        self._posterior: Floats = shared / shared.sum()
        self._trials = 0

    @property
    def next_stimulus(self) -> float:
        """The stimulus to be shown next; the smallest of those that are equally good."""
        return float(self._stimuli[int(np.argmin(self._expected_entropy()))])

    def answer(self, stimulus: float, yes: bool) -> None:
        """Take an answer to a stimulus of the grid, or to the nearest one of it."""
        row = int(np.argmin(np.abs(self._stimuli - stimulus)))
        likelihood = self._yes[row] if yes else 1 - self._yes[row]
        weighed = self._posterior * likelihood
        self._posterior = weighed / weighed.sum()
        self._trials += 1

    def threshold(self) -> Threshold:
        """What is known of the threshold by now."""
        marginal = self._posterior.sum(axis=1)
        mean = float(marginal @ self._thresholds)
        variance = float(marginal @ (self._thresholds - mean) ** 2)
        return Threshold(
            mean,
            variance**0.5,
            float(self._thresholds[int(np.argmax(marginal))]),
            self._central(marginal),
            self._trials,
        )

    def _central(self, marginal: Floats) -> tuple[float, float]:
        """Within a cell of the grid the mass lies evenly, or the interval would jump by cells."""
        middles = self._thresholds
        if middles.size == 1:
            return float(middles[0]), float(middles[0])
        between = (middles[:-1] + middles[1:]) / 2
        edges = np.concatenate(
            ([2 * middles[0] - between[0]], between, [2 * middles[-1] - between[-1]])
        )
        below = np.concatenate(([0.0], np.cumsum(marginal)))
        tail = (1 - MASS_WITHIN) / 2
        low, high = np.interp((tail, 1 - tail), below, edges)
        return float(low), float(high)

    def _expected_entropy(self) -> Floats:
        """Of the parameters after the answer to each stimulus."""
        yes = self._yes * self._posterior
        no = (1 - self._yes) * self._posterior
        return _unscaled_entropy(yes) + _unscaled_entropy(no)


def _unscaled_entropy(joint: Floats) -> Floats:
    """Share of this answer times the entropy after it, for each stimulus.

    With the posterior q = j / s it is -s Σ q ln q = s ln s - Σ j ln j.
    """
    total = joint.sum(axis=(1, 2))
    logs = np.log(joint, where=joint > 0, out=np.zeros_like(joint))
    return np.asarray(total * np.log(total) - (joint * logs).sum(axis=(1, 2)), np.float64)
