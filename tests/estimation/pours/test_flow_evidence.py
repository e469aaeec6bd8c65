"""What readings say of hands is what the whole matrices say."""

import numpy as np
import pytest

from pourcoach.estimation.pours.flow_evidence import FlowEvidence
from pourcoach.estimation.pours.flow_series import FlowSeries
from pourcoach.estimation.pours.hands import HANDS


@pytest.mark.parametrize("lasts_s", [1.5, 9.0])
def test_hands_are_as_likely_as_each_is_alone(lasts_s: float) -> None:
    rng = np.random.default_rng(1)
    series = FlowSeries(0.0, lasts_s, 0.13)
    precisions = series.precisions(*np.array(HANDS).T)
    rows = rng.standard_normal((3, 80, precisions.shape[1]))
    evidence = FlowEvidence(
        series,
        rows.transpose(0, 2, 1) @ rows,
        rows.sum(axis=1),
        np.array([0.5, 0.0, -2.0]),
    )
    drummings, hands = np.array([2, 0]), [3, 4, 10, 11, 40]
    found = evidence.log_likelihoods(drummings, precisions[hands])
    for row, drumming in enumerate(drummings):
        for column, hand in enumerate(hands):
            posterior = evidence.normal[drumming] + np.diag(precisions[hand])
            right = evidence.right[drumming]
            expected = (
                evidence.constant[drumming]
                + 0.5 * right @ np.linalg.solve(posterior, right)
                - 0.5 * np.linalg.slogdet(posterior)[1]
                + 0.5 * np.log(precisions[hand]).sum()
            )
            assert found[row, column] == pytest.approx(expected, abs=1e-8)
