"""Tares by us and by the scale, and taking them back."""

import pytest

from pourcoach.domain.inputs import Finish, Mark, Tare, Undo
from pourcoach.estimation.platform.zero import Zero


def net(zero: Zero, t_s: float, grams: float, expected_g: float) -> float:
    return zero.unbroken(t_s, grams, expected_g) - zero.offset_g


def test_a_tare_counts_from_what_stands_there():
    zero = Zero()
    zero.act(Tare(1.0), 250.0)
    assert net(zero, 1.1, 253.0, 250.0) == pytest.approx(3.0)


def test_a_tare_by_the_scale_leaves_the_scales_own_figure():
    zero = Zero()
    zero.act(Tare(1.0, by_scale=True), 250.04)
    assert net(zero, 1.1, 250.1, 250.04) == pytest.approx(0.06)
    assert net(zero, 1.6, 0.02, 250.04) == pytest.approx(0.02)
    assert net(zero, 9.0, 12.3, 262.3) == pytest.approx(12.3)


def test_a_scale_that_does_not_carry_out_its_tare_leaves_ours():
    zero = Zero()
    zero.act(Tare(1.0, by_scale=True), 250.0)
    assert net(zero, 3.5, 0.0, 250.0) == pytest.approx(-250.0)  # too late: a vessel was lifted


@pytest.mark.parametrize(
    ("acts", "expected_g"),
    [
        ([Tare(1.0), Undo(2.0)], 250.0),
        ([Tare(1.0), Mark(2.0), Undo(3.0)], 0.0),
        ([Tare(1.0), Mark(2.0), Undo(3.0), Undo(4.0)], 250.0),
        ([Tare(1.0), Finish(2.0), Undo(3.0)], 0.0),
        ([Undo(1.0)], 250.0),
    ],
    ids=["a tare", "a mark", "a mark and a tare", "a finish", "nothing"],
)
def test_undo_takes_back_the_last_act(acts, expected_g):
    zero = Zero()
    for act in acts:
        zero.act(act, 250.0)
    assert net(zero, 5.0, 250.0, 250.0) == pytest.approx(expected_g)
