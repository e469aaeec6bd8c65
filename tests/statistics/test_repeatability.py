"""Repeatability against the worked examples of Bland and Altman."""

from math import sqrt
from statistics import fmean, stdev

import pytest

from pourcoach.statistics.repeatability import pooled_repeatability

FIRST = (494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427)
SECOND = (490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421)
CHILDREN = (
    (190, 220, 200, 200), (220, 200, 240, 230), (260, 260, 240, 280), (210, 300, 280, 265),
    (270, 265, 280, 270), (280, 280, 270, 275), (260, 280, 280, 300), (275, 275, 275, 305),
    (280, 290, 300, 290), (320, 290, 300, 290), (300, 300, 310, 300), (270, 250, 330, 370),
    (320, 330, 330, 330), (335, 320, 335, 375), (350, 320, 340, 365), (360, 320, 350, 345),
    (330, 340, 380, 390), (335, 385, 360, 370), (400, 420, 425, 420), (430, 460, 480, 470),
)  # fmt: skip


def test_twenty_children_blowing_four_times() -> None:
    """Bland & Altman 1996 (BMJ 312, measurement error), peak flow in l/min: within-subject variance
    460.52, s_w 21.46, repeatability 59.4; known to about 18 %. The mean of the standard deviations
    (17.85) is not s_w."""
    found = pooled_repeatability(CHILDREN)
    assert found is not None
    assert found.freedom == 60
    assert found.within_sd**2 == pytest.approx(460.52, abs=0.005)
    assert found.within_sd == pytest.approx(21.46, abs=0.005)
    assert found.limit == pytest.approx(2.77 * 21.46, abs=0.1)
    assert found.precision == pytest.approx(0.18, abs=0.005)
    assert fmean(stdev(child) for child in CHILDREN) == pytest.approx(17.85, abs=0.005)


def test_seventeen_people_blowing_twice() -> None:
    """Bland & Altman 1986 (Lancet i), the larger meter: s_w 15.31, repeatability 42.4; of pairs it
    is near to twice the standard deviation of the differences, 43.4."""
    found = pooled_repeatability(zip(FIRST, SECOND, strict=True))
    assert found is not None
    assert found.within_sd == pytest.approx(15.31, abs=0.01)
    assert found.limit == pytest.approx(42.4, abs=0.05)
    differences = [first - second for first, second in zip(FIRST, SECOND, strict=True)]
    assert 2 * stdev(differences) == pytest.approx(43.4, abs=0.1)
    squares = fmean(difference**2 for difference in differences)
    assert found.within_sd == pytest.approx(sqrt(squares / 2))


def test_single_figures_show_nothing() -> None:
    assert pooled_repeatability([[1.0], [2.0], []]) is None
    found = pooled_repeatability([[1.0], [2.0, 4.0]])
    assert found is not None
    assert (found.freedom, found.within_sd) == (1, pytest.approx(sqrt(2.0)))
