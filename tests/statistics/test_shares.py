"""Shares of few cases: Fisher's exact test, and many of them at once."""

import random

import pytest
from scipy import stats

from pourcoach.statistics.shares import TwoShares, differ


def test_the_tea_of_the_lady() -> None:
    """Fisher 1935, The Design of Experiments: 3 of 4 right has a one-sided chance of 17 in 70, so
    34 in 70 two-sided; 4 of 4 of 1 in 70, 2 in 70 two-sided."""
    assert TwoShares(3, 4, 1, 4).p_value == pytest.approx(34 / 70)
    assert TwoShares(4, 4, 0, 4).p_value == pytest.approx(2 / 70)


@pytest.mark.parametrize("seed", range(40))
def test_p_is_scipys(seed: int) -> None:
    chance = random.Random(seed)
    count, others = chance.randint(1, 15), chance.randint(1, 15)
    hits, other_hits = chance.randint(0, count), chance.randint(0, others)
    table = [[hits, count - hits], [other_hits, others - other_hits]]
    found = TwoShares(hits, count, other_hits, others)
    assert found.p_value == pytest.approx(stats.fisher_exact(table).pvalue, rel=1e-9)
    assert found.least_p_value <= found.p_value + 1e-12


def test_one_who_always_does_it_is_distinguished_from_two_who_never_do() -> None:
    """Four of four brews against none of eight: 1 in 495. Others of the class are not."""
    short_bloom = [TwoShares(4, 4, 0, 8), TwoShares(0, 4, 4, 8), TwoShares(0, 4, 4, 8)]
    once = [TwoShares(1, 4, 0, 8), TwoShares(0, 4, 1, 8), TwoShares(0, 4, 1, 8)]
    assert short_bloom[0].p_value == pytest.approx(1 / 495)
    assert differ(short_bloom + once) == [True, False, False, False, False, False]


def test_chance_alone_is_seldom_called_a_difference() -> None:
    """Three students with four brews each, six findings that each comes in a third of all brews."""
    chance = random.Random(11)
    wrong = 0
    for _ in range(400):
        shares = []
        for _ in range(6):
            hits = [sum(chance.random() < 1 / 3 for _ in range(4)) for _ in range(3)]
            shares += [TwoShares(one, 4, sum(hits) - one, 8) for one in hits]
        wrong += any(differ(shares))
    assert wrong / 400 <= 0.05
    assert differ([]) == []
