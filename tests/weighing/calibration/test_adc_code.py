"""Codes of a bridge converter."""

import pytest

from pourcoach.weighing.calibration.adc_code import saturated

# Two's complement over 24 bits, signed; exact by definition.
CASES = [
    (0, False),
    (8388606, False),
    (8388607, True),
    (-8388608, True),
    (-8388607, False),
    (-1, False),
]


@pytest.mark.parametrize(("signed", "at_end"), CASES)
def test_both_ends_are_saturated(signed, at_end):
    assert saturated(signed) is at_end
