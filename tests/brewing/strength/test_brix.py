import math

import pytest

from pourcoach.brewing.strength.brix import strength_from_brix
from pourcoach.brewing.strength.measured import Measured
from pourcoach.domain.errors import UsageError


def test_both_errors_are_carried() -> None:
    strength, working = strength_from_brix(Measured(1.6, 0.05), Measured(0.85, 0.02))
    assert strength.value == pytest.approx(1.36)
    # First order: 0.85 × 0.05 and 1.6 × 0.02, independent.
    assert strength.error == pytest.approx(math.hypot(0.85 * 0.05, 1.6 * 0.02))
    assert working.put_in == "(0.85 ± 0.02) × (1.6 ± 0.05) °Bx = 1.360 ± 0.053 %"


@pytest.mark.parametrize("factor", [0.0, 0.1, 85.0, float("nan")])
def test_an_implausible_factor_is_refused(factor: float) -> None:
    with pytest.raises(UsageError, match="degree Brix"):
        strength_from_brix(Measured(1.5), Measured(factor))


def test_an_error_below_zero_is_refused() -> None:
    with pytest.raises(UsageError, match="error below 0"):
        strength_from_brix(Measured(1.5, -0.1), Measured(0.85))
