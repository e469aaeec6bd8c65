"""Median and quartiles, and how well the median is known."""

import random

import numpy as np
import pytest

from pourcoach.statistics.spread import spread


@pytest.mark.parametrize("count", [1, 2, 5, 8, 31])
def test_quartiles_are_numpys(count: int) -> None:
    chance = random.Random(count)
    figures = [chance.gauss(0, 1) for _ in range(count)]
    found = spread(figures)
    quartiles = np.quantile(figures, [0.25, 0.5, 0.75])
    assert (found.low, found.median, found.high) == pytest.approx(tuple(quartiles))
    assert found.width == pytest.approx(quartiles[2] - quartiles[0])


@pytest.mark.parametrize(
    ("count", "bounds"),
    [(5, None), (6, (0, 5)), (8, (0, 7)), (9, (1, 7)), (15, (3, 11)), (20, (5, 14))],
)
def test_the_medians_bounds_are_those_of_the_sign_test(
    count: int, bounds: tuple[int, int] | None
) -> None:
    """Ranks as tables of the sign test give them for 95 % (from memory): 1 and 6 of 6, 2 and 8 of
    9, 4 and 12 of 15, 6 and 15 of 20."""
    found = spread(range(count))
    assert (found.median_low, found.median_high) == (bounds or (None, None))


def test_no_figures_have_no_middle() -> None:
    with pytest.raises(ValueError, match="no figures"):
        spread([])
