import random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.calibration.calibration import Calibration, fit_calibration
from pourcoach.weighing.loads.known_load import KnownLoad

# 1 kg, 1 mV/V, 5 V cell on a converter of 40 mV over 24 bits: 5 uV/g over 2.384 nV.
COUNTS_PER_G = 5e-6 / (40e-3 / 2**24)


def loads(*grams: float, counts_per_g: float = COUNTS_PER_G, empty: float = -8000, **kwargs):
    return [KnownLoad(g, empty + counts_per_g * g, **kwargs) for g in grams]


def test_counts_per_gram_of_a_common_cell_and_converter():
    assert pytest.approx(2097.15, rel=1e-3) == COUNTS_PER_G


@given(
    st.floats(10, 5000) | st.floats(-5000, -10),
    st.floats(-1e5, 1e5),
    st.floats(0, 500),
)
def test_a_perfect_cell_is_found_whichever_way_it_is_mounted(counts_per_g, empty, grams):
    fit = fit_calibration(loads(0, 100, 500, counts_per_g=counts_per_g, empty=empty))
    assert fit.calibration.counts_per_g == pytest.approx(counts_per_g)
    assert fit.calibration.grams(empty + counts_per_g * grams) == pytest.approx(grams, abs=1e-6)
    assert fit.warnings == ()


def test_stated_errors_cover_the_truth_as_often_as_they_should():
    """Normal errors: about 68 % within one standard error; 400 calibrations, seeded."""
    chance = random.Random(5)
    within = 0
    for _ in range(400):
        points = [
            KnownLoad(g, 1000 * g + chance.gauss(0, 40), noise=40.0, readings=1)
            for g in (0, 50, 100, 200, 300, 400, 500)
        ]
        fit = fit_calibration(points)
        off_g = fit.calibration.grams(1000 * 500.0) - 500.0
        within += abs(off_g) <= fit.error_at_usual_g
    assert 0.60 <= within / 400 <= 0.82


WARNINGS = [
    (loads(0, 50, 100), "is light for brews"),
    (loads(100, 200, 500), "the empty scale was not weighed"),
    ([*loads(0, 100, 300), KnownLoad(500, -8000 + COUNTS_PER_G * 503)], "off the line"),
]


@pytest.mark.parametrize(("points", "words"), WARNINGS, ids=[words for _, words in WARNINGS])
def test_a_poor_span_or_fit_is_reported(points, words):
    assert any(words in warning for warning in fit_calibration(points).warnings)


REFUSED = [
    (loads(0), "one load gives no line"),
    (loads(100, 100), "one load gives no line"),
    ([KnownLoad(0, 0.0), KnownLoad(500, 8388607.0)], "end of its range"),
    ([KnownLoad(0, -8388608.0), KnownLoad(500, 0.0)], "end of its range"),
    (loads(0, 500, counts_per_g=0), "do not change"),
    (loads(0, 500, counts_per_g=0.01, noise=20.0), "do not change"),
]


@pytest.mark.parametrize(("points", "words"), REFUSED, ids=[words for _, words in REFUSED])
def test_what_gives_no_calibration_is_refused(points, words):
    with pytest.raises(UsageError, match=words):
        fit_calibration(points)


def test_grams_of_a_calibration():
    assert Calibration(-2000.0, 500.0).grams(-199_500.0) == 100.0


def off(points, **true_g):
    """The same loads, one of them typed wrong."""
    return [KnownLoad(true_g.get(f"g{load.true_g:g}", load.true_g), load.shown) for load in points]


SWAPPED = loads(0, 100, 200, 500)
SWAPPED[1], SWAPPED[2] = (
    KnownLoad(100, SWAPPED[2].shown),
    KnownLoad(200, SWAPPED[1].shown),
)
DOUBTFUL = [
    (loads(0, 500), "one weight always fits"),
    (loads(0, 200, 500, counts_per_g=1.0, empty=0.3), "looks like grams already"),
    (loads(0, 200, 500, counts_per_g=-1.01, empty=612.0), "looks like grams already"),
    (loads(0, 200, 500, counts_per_g=10.0, empty=2.0), "looks like tenths of a gram already"),
    (loads(0, 200, 500, counts_per_g=0.001, empty=0.0), "looks like kilograms already"),
    (off(loads(0, 100, 200, 500), g200=250), "by the others, 250 g weighs 200 g: see which"),
    (off(loads(0, 200, 500), g200=250), "250 g weighs 200 g or 500 g weighs 625 g"),
    (SWAPPED, "100 g and 200 g would fit the other way round"),
    (
        [KnownLoad(0, 0.0), KnownLoad(100, 5e5), KnownLoad(200, 1e5), KnownLoad(500, 7e5)],
        "the weights do not agree",
    ),
    (loads(0, 5, 10, counts_per_g=200, noise=120.0, readings=2), "known to 6.0% only"),
]


@pytest.mark.parametrize(("points", "words"), DOUBTFUL, ids=[words for _, words in DOUBTFUL])
def test_a_calibration_that_would_spoil_every_weight_is_doubted(points, words):
    (doubt, *_) = [one for one in fit_calibration(points).doubts if words in one] or ["none"]
    assert words in doubt


@given(st.floats(100, 5000), st.floats(-1e5, 1e5), st.integers(0, 2**31))
def test_a_fair_calibration_is_not_doubted(counts_per_g, empty, seed):
    """A cell 0.03 % off straight and the noise of a kitchen scale; a hundred counts a gram may
    as well be hundredths of a gram."""
    chance = random.Random(seed)
    assume(abs(counts_per_g - 100) > 3)
    points = [
        KnownLoad(
            g,
            empty + counts_per_g * (g + chance.gauss(0, 0.0003 * g)),
            noise=0.03 * counts_per_g,
            readings=20,
        )
        for g in (0, 100, 200, 500)
    ]
    assert fit_calibration(points).doubts == ()


def test_how_well_one_weight_is_known_is_not_said():
    fit = fit_calibration(loads(0, 500))
    assert fit.span_error is None
    assert fit.error_at_usual_g is None
