"""How probable each kind of drumming and of hand is, once the readings of a pour are known."""

import numpy as np
from numpy.typing import NDArray

from pourcoach.domain.slices import Slices
from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.pours.drumming import Drummings
from pourcoach.estimation.pours.flow_evidence import (
    FACTORED_AT_A_TIME,
    FlowEvidence,
    SliceBudget,
    Stretch,
)
from pourcoach.estimation.pours.hands import HANDS, LOG_PRIOR


def weighed_stretches(stretches: list[Stretch], drummings: Drummings) -> Slices[list[FlowEvidence]]:
    """The evidence of each stretch under each kind of drumming."""
    evidence = []
    for stretch in stretches:
        one = yield from stretch.weigh(drummings.relaxation())
        evidence.append(one)
    return evidence


class Posterior:
    """Of the kinds of drumming (g) and of hands (h) that were looked at."""

    def __init__(
        self, drummings: Drummings, evidence: list[FlowEvidence], pace: SliceBudget
    ) -> None:
        self.drummings, self.evidence = drummings, evidence
        slow, quick = np.array(HANDS).T
        self.precisions = [one.series.precisions(slow, quick) for one in evidence]
        """(h, p) of the coefficients of each stretch under each hand."""
        self.log: Array = np.full((len(drummings.strengths_s), len(HANDS)), -np.inf)
        """(g, h) but for a constant; minus infinity where it was not looked at."""
        self._pace = pace

    def look(self, hands: list[int], which: NDArray[np.intp] | None = None) -> Slices[None]:
        """Work it out for these hands and all kinds of drumming, or ``which`` of them."""
        if which is None:
            which = np.arange(len(self.log))
        at_a_time = max(FACTORED_AT_A_TIME // len(hands), 1)
        for first in range(0, len(which), at_a_time):
            some = which[first : first + at_a_time]
            found = np.add.outer(self.drummings.log_prior[some], LOG_PRIOR[hands])
            for one, precisions in zip(self.evidence, self.precisions, strict=True):
                found += one.log_likelihoods(some, precisions[hands])
                if self._pace.due(found.size):
                    yield
            self.log[some[:, None], hands] = found
