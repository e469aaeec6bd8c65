"""Repeatability, linearity, eccentricity, discrimination: figures and both sides of each limit."""

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.figures.discrimination import discrimination, least_added_g
from pourcoach.weighing.figures.eccentricity import PLACES, eccentricity
from pourcoach.weighing.figures.linearity import linearity
from pourcoach.weighing.figures.repeatability import repeatability
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.verification import Yardstick

NEW = Yardstick(0.1, 1000.0, in_service=False)


@pytest.mark.parametrize(("spread_g", "within"), [(0.0, True), (0.0999, True), (0.1001, False)])
def test_repeatability_allows_as_much_as_one_error(spread_g, within):
    found = repeatability([KnownLoad(200, 200 + off) for off in (0, spread_g, spread_g)], NEW)
    assert found.spread_g == pytest.approx(spread_g)
    assert found.limit_g == pytest.approx(0.1)
    assert found.within is within


def test_repeatability_deviation_is_the_sample_s():
    found = repeatability([KnownLoad(200, shown) for shown in (200, 201, 202)], NEW)
    assert found.deviation_g == pytest.approx(1.0)


@pytest.mark.parametrize("true_g", [[200, 200], [200, 200, 100]])
def test_repeatability_wants_one_load_three_times(true_g):
    with pytest.raises(UsageError):
        repeatability([KnownLoad(g, g) for g in true_g], NEW)


def test_linearity_takes_the_zero_off_and_separates_span_from_bend():
    found = linearity([KnownLoad(g, 0.3 + 1.001 * g) for g in (0, 50, 200, 500)], NEW)
    assert [error.error_g for error in found.errors] == pytest.approx([0.05, 0.2, 0.5])
    assert [error.limit_g for error in found.errors] == pytest.approx([0.05, 0.1, 0.15])
    assert found.span_error == pytest.approx(0.001)
    assert found.bend_g == pytest.approx(0.0, abs=1e-9)
    assert found.worst.load_g == 500
    assert not found.within


def test_a_bent_scale_is_not_mended_by_its_span():
    bent = [KnownLoad(g, g + 1e-6 * g * (1000 - g)) for g in (0, 250, 500, 750, 1000)]
    found = linearity(bent, NEW)
    # Symmetrical, so its best line is flat, at the mean of 0, 0.1875, 0.25, 0.1875 and 0.
    assert found.span_error == pytest.approx(0.0, abs=1e-12)
    assert found.bend_g == pytest.approx(0.125)


@pytest.mark.parametrize("true_g", [[100, 200], [0, 0]])
def test_linearity_wants_empty_and_loaded(true_g):
    with pytest.raises(UsageError):
        linearity([KnownLoad(g, g) for g in true_g], NEW)


@pytest.mark.parametrize(("off_g", "within"), [(0.149, True), (0.151, False), (-0.151, False)])
def test_eccentricity_by_place(off_g, within):
    places = {place: KnownLoad(330, 330.02) for place in PLACES}
    places["back left"] = KnownLoad(330, 330.02 + off_g)
    found = eccentricity(places, 0.02, NEW)
    assert found.errors_g["centre"] == pytest.approx(0.0)
    assert found.errors_g["back left"] == pytest.approx(off_g)
    assert found.spread_g == pytest.approx(abs(off_g))
    assert found.within is within


def test_eccentricity_names_the_places_left_out():
    with pytest.raises(UsageError, match="front left, front right"):
        eccentricity({place: KnownLoad(330, 330) for place in ("centre", *PLACES[3:])}, 0.0, NEW)


@pytest.mark.parametrize(("change_g", "within"), [(0.1, True), (0.14, True), (0.09, False)])
def test_discrimination_wants_an_interval_to_show(change_g, within):
    found = discrimination(KnownLoad(100, 100.2), KnownLoad(100.14, 100.2 + change_g), NEW)
    assert found.added_g == pytest.approx(0.14)
    assert found.within is within


def test_discrimination_wants_enough_added():
    assert least_added_g(NEW) == pytest.approx(0.14)
    with pytest.raises(UsageError, match="too little"):
        discrimination(KnownLoad(100, 100), KnownLoad(100.1, 100.1), NEW)
