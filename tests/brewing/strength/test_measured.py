import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.strength.measured import Measured, propagate, slopes

VALUES = st.floats(0.5, 500.0)
ERRORS = st.floats(0.0, 1.0)


@given(VALUES, ERRORS, VALUES, ERRORS)
def test_relative_errors_add_in_squares_for_a_product_and_a_quotient(
    a: float, da: float, b: float, db: float
) -> None:
    # JCGM 100:2008 (GUM), 5.1.6.
    relative = math.hypot(da / a, db / b)
    product = propagate(lambda x, y: x * y, Measured(a, da), Measured(b, db))
    quotient = propagate(lambda x, y: x / y, Measured(a, da), Measured(b, db))
    assert product.error == pytest.approx(a * b * relative, rel=1e-6, abs=1e-9)
    assert quotient.error == pytest.approx(a / b * relative, rel=1e-6, abs=1e-9)


@given(VALUES, ERRORS, VALUES, ERRORS)
def test_errors_add_in_squares_for_a_difference(a: float, da: float, b: float, db: float) -> None:
    difference = propagate(lambda x, y: x - y, Measured(a, da), Measured(b, db))
    assert difference.error == pytest.approx(math.hypot(da, db), rel=1e-6, abs=1e-9)


def test_exact_inputs_give_an_exact_result() -> None:
    assert propagate(lambda x: x**2, Measured(3.0)) == Measured(9.0, 0.0)


def test_slopes_of_a_power() -> None:
    assert slopes(lambda x, y: x**3 * y, Measured(2.0), Measured(5.0)) == pytest.approx(
        [60.0, 8.0], rel=1e-8
    )
