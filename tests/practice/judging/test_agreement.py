"""Weighted kappa against published tables."""

import pytest

from pourcoach.practice.judging.agreement import agreement, counted, quadratic_weights

SAME_ONLY = [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
"""The unweighted kappa."""
LINEAR = [[1, 0.5, 0], [0.5, 1, 0.5], [0, 0.5, 1]]

FIRST = [[0, 4, 1], [0, 8, 0], [0, 1, 5]]
ANXIETY = [
    [0, 0, 1, 0, 0],
    [4, 0, 1, 0, 0],
    [2, 3, 3, 0, 0],
    [0, 2, 0, 1, 1],
    [1, 0, 0, 1, 0],
]
COHEN = [[0.44, 0.07, 0.09], [0.05, 0.20, 0.05], [0.01, 0.03, 0.06]]
FLEISS = [[106, 10, 4], [22, 28, 10], [2, 12, 6]]


@pytest.mark.parametrize(
    ("weights", "kappa", "error"),
    [
        (SAME_ONLY, 0.4842, 0.1380),
        (LINEAR, 0.4701, 0.1457),
        # Worked out beside the program; the two above are printed by SAS.
        (quadratic_weights(3), 0.4502, 0.1922),
    ],
)
def test_kappa_and_its_error_are_those_that_sas_prints(weights, kappa, error) -> None:
    """The 3 x 3 table in the inter-rater tests of statsmodels."""
    found = agreement(FIRST, weights)
    assert found is not None
    assert found.kappa == pytest.approx(kappa, abs=1e-4)
    assert found.error == pytest.approx(error, abs=1e-4)


def test_quadratic_kappa_is_that_of_the_package_irr() -> None:
    """Raters 2 and 3 of the data set 'anxiety' of the R package irr."""
    found = agreement(ANXIETY)
    assert found is not None
    assert found.kappa == pytest.approx(0.2520325, abs=1e-6)


def test_weights_given_as_disagreements() -> None:
    """Cohen 1968: proportions of 200, disagreements of 0, 1, 3 and 6."""
    counts = [[200 * share for share in row] for row in COHEN]
    weights = [[1 - d / 6 for d in row] for row in ((0, 1, 3), (1, 0, 6), (3, 6, 0))]
    weighted, plain, quadratic = (
        agreement(counts, each) for each in (weights, SAME_ONLY, quadratic_weights(3))
    )
    assert weighted is not None
    assert plain is not None
    assert quadratic is not None
    assert weighted.kappa == pytest.approx(0.348, abs=5e-4)
    assert plain.kappa == pytest.approx(0.492, abs=5e-4)
    assert quadratic.kappa == pytest.approx(0.4545, abs=1e-4)
    assert quadratic.error == pytest.approx(0.0665, abs=1e-4)


def test_the_example_with_which_the_error_was_published() -> None:
    """Fleiss, Cohen and Everitt 1969: the data; values worked out beside the program."""
    weights = ((1, 0, 0.4444), (0, 1, 0.6667), (0.4444, 0.6667, 1))
    weighted, quadratic = agreement(FLEISS, weights), agreement(FLEISS)
    assert weighted is not None
    assert quadratic is not None
    assert (weighted.kappa, weighted.error) == pytest.approx((0.5071, 0.0570), abs=1e-4)
    assert (quadratic.kappa, quadratic.error) == pytest.approx((0.5667, 0.0557), abs=1e-4)
    low, high = quadratic.interval
    assert (low, high) == pytest.approx((0.5667 - 0.1092, 0.5667 + 0.1092), abs=2e-4)


def test_grades_are_counted_into_a_table() -> None:
    assert counted([0, 2, 2], [0, 1, 2], 3) == [[1, 0, 0], [0, 0, 0], [0, 1, 1]]


def test_no_brew_or_one_grade_alone_has_no_kappa() -> None:
    assert agreement([[0, 0], [0, 0]]) is None
    assert agreement([[7, 0], [0, 0]]) is None


def test_full_agreement_is_one() -> None:
    found = agreement([[4, 0, 0], [0, 5, 0], [0, 0, 6]])
    assert found is not None
    assert found.kappa == pytest.approx(1.0)
    assert found.interval[1] == 1.0
