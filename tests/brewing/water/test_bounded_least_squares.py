"""The solution of a convex problem is known by its optimality conditions: they are the test."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from pourcoach.brewing.water.bounded_least_squares import solve_bounded

SIZES = st.integers(1, 5)
NUMBERS = st.floats(-10.0, 10.0).map(lambda value: round(value, 3))


@st.composite
def problems(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rows, columns = draw(SIZES), draw(SIZES)
    return (
        draw(arrays(float, (rows, columns), elements=NUMBERS)),
        draw(arrays(float, rows, elements=NUMBERS)),
        draw(arrays(float, columns, elements=st.floats(0.0, 5.0).map(lambda v: round(v, 3)))),
    )


@given(problems())
def test_meets_the_karush_kuhn_tucker_conditions(
    problem: tuple[np.ndarray, np.ndarray, np.ndarray],
) -> None:
    matrix, aims, upper = problem
    x = np.array(solve_bounded(matrix.tolist(), aims.tolist(), upper.tolist()))
    assert (x >= 0).all()
    assert (x <= upper).all()
    pull = matrix.T @ (aims - matrix @ x)
    for value, top, slope in zip(x, upper, pull, strict=True):
        if value > 0:
            assert slope >= -1e-6
        if value < top:
            assert slope <= 1e-6


@pytest.mark.parametrize(
    ("matrix", "aims", "upper", "expected"),
    [
        ([[2.0]], [6.0], [10.0], [3.0]),
        ([[2.0]], [6.0], [1.0], [1.0]),
        ([[2.0]], [-6.0], [10.0], [0.0]),
        ([[1.0, 0.0], [0.0, 1.0]], [2.0, 3.0], [9.0, 1.0], [2.0, 1.0]),
        # The second unknown would be negative without its bound.
        ([[1.0, 1.0], [0.0, 1.0]], [1.0, -1.0], [9.0, 9.0], [1.0, 0.0]),
    ],
)
def test_by_hand(
    matrix: list[list[float]], aims: list[float], upper: list[float], expected: list[float]
) -> None:
    assert solve_bounded(matrix, aims, upper) == pytest.approx(expected)
