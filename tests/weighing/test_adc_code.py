import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.adc_code import saturated, signed_code

# Two's complement over 24 bits; exact by definition.
CASES = [
    (0x000000, 0, False),
    (0x000001, 1, False),
    (0x7FFFFE, 8388606, False),
    (0x7FFFFF, 8388607, True),
    (0x800000, -8388608, True),
    (0x800001, -8388607, False),
    (0xFFFFFF, -1, False),
]


@pytest.mark.parametrize(("code", "signed", "at_end"), CASES)
def test_codes_are_twos_complement_and_both_ends_are_saturated(code, signed, at_end):
    assert signed_code(code) == signed
    assert saturated(signed) is at_end


@pytest.mark.parametrize("code", [-1, 0x1000000])
def test_more_than_24_bits_are_refused(code):
    with pytest.raises(UsageError, match="more than 24 bits"):
        signed_code(code)
