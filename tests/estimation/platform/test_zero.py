"""Tares by us, tares by the scale, vessels, and tares taken back."""

import pytest

from pourcoach.domain.inputs import Tare
from pourcoach.estimation.platform.zero import Zero


def shown(zero: Zero, reading_g: float) -> float:
    return reading_g + zero.shift_g - zero.booked_g


def test_a_tare_by_key_moves_what_is_shown_alone():
    zero = Zero()
    zero.tare(Tare(1.0), 250.0)
    assert shown(zero, 262.3) == pytest.approx(12.3)
    assert zero.shift_g == 0.0


def test_a_tare_of_the_scale_moves_its_figures_and_not_the_unbroken_weight():
    zero = Zero()
    zero.moved(1.0, 250.0, 250.0)
    assert shown(zero, 12.3) == pytest.approx(12.3)
    assert 12.3 + zero.shift_g == pytest.approx(262.3)


def test_a_vessel_moves_what_is_shown_and_not_the_unbroken_weight():
    zero = Zero()
    zero.moved(1.0, -300.0, 0.0)
    assert shown(zero, 340.0) == pytest.approx(340.0)
    assert 340.0 + zero.shift_g == pytest.approx(40.0)


def test_a_tare_that_the_scale_was_sent_shows_the_scales_own_figure_once_it_comes():
    zero = Zero()
    zero.tare(Tare(1.0, by_scale=True), 250.04)
    assert zero.expects_tare(2.5)
    assert shown(zero, 250.1) == pytest.approx(0.06)
    zero.moved(2.5, 250.0, 250.0)
    assert shown(zero, 0.02) == pytest.approx(0.02)
    assert not zero.expects_tare(2.6)


def test_a_commanded_tare_is_not_waited_for_longer_than_a_scale_takes():
    zero = Zero()
    zero.tare(Tare(1.0, by_scale=True), 250.0)
    assert not zero.expects_tare(3.5)


def test_a_tare_taken_back_shows_what_was_shown_before():
    zero = Zero()
    first, second = Tare(1.0), Tare(2.0, by_scale=True)
    zero.tare(first, 100.0)
    zero.tare(second, 250.0)
    zero.moved(2.3, 250.0, 250.0)
    zero.undo(second)
    assert shown(zero, 0.0) == pytest.approx(150.0)
    zero.undo(first)
    assert shown(zero, 0.0) == pytest.approx(250.0)


def test_a_tare_that_the_scales_button_has_overtaken_shows_the_scale_when_taken_back():
    zero = Zero()
    item = Tare(1.0)
    zero.tare(item, 100.0)
    zero.moved(5.0, 140.0, 140.0)
    zero.undo(item)
    assert shown(zero, 7.0) == pytest.approx(7.0)
