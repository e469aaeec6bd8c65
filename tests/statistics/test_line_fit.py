import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.errors import UsageError
from pourcoach.statistics.line_fit import fit_line

# NIST Statistical Reference Datasets, linear regression, Norris: an instrument's calibration
# line (y, x), and its certified values.
NORRIS = [
    (0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5),
    (668.5, 666.3), (998.5, 996.3), (449.1, 448.6), (778.9, 777.0), (559.2, 558.2), (0.3, 0.4),
    (0.1, 0.6), (778.1, 775.5), (668.8, 666.9), (339.3, 338.0), (448.9, 447.5), (10.8, 11.6),
    (557.7, 556.0), (228.3, 228.1), (998.0, 995.8), (888.8, 887.6), (119.6, 120.2), (0.3, 0.3),
    (0.6, 0.3), (557.6, 556.8), (339.3, 339.1), (888.0, 887.2), (998.5, 999.0), (778.9, 779.0),
    (10.2, 11.1), (117.6, 118.3), (228.9, 229.2), (668.4, 669.1), (449.2, 448.9), (0.2, 0.5),
]  # fmt: skip


def test_norris_certified_values():
    line = fit_line([x for _, x in NORRIS], [y for y, _ in NORRIS])
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-9)
    assert line.intercept == pytest.approx(-0.262323073774029, rel=1e-9)
    assert line.slope_error == pytest.approx(0.429796848199937e-03, rel=1e-9)
    assert line.intercept_error == pytest.approx(0.232818234301152, rel=1e-9)
    assert line.residual_sd == pytest.approx(0.884796396144373, rel=1e-9)


@given(
    st.floats(-1e4, 1e4),
    st.floats(-1e7, 1e7),
    st.lists(st.integers(0, 5000), min_size=2, max_size=8, unique=True),
)
def test_points_on_a_line_give_that_line(slope, intercept, x):
    line = fit_line(x, [intercept + slope * value for value in x])
    scale = abs(intercept) + abs(slope) * 5000 + 1
    assert line.slope == pytest.approx(slope, abs=scale * 1e-9)
    assert line.intercept == pytest.approx(intercept, abs=scale * 1e-9)
    assert max(map(abs, line.residuals)) <= scale * 1e-9


def test_two_points_give_no_error():
    line = fit_line([0.0, 100.0], [5.0, 205.0])
    assert (line.slope, line.intercept) == (2.0, 5.0)
    assert line.slope_error is None
    assert line.residual_sd is None


def test_a_line_is_surest_amid_its_points():
    line = fit_line([0, 1, 2, 3], [0.1, 0.9, 2.1, 2.9])
    assert line.residual_sd * math.sqrt(line.leverage(0.0)) == pytest.approx(line.intercept_error)
    assert line.leverage(1.5) < line.leverage(3.0) < line.leverage(6.0)


@pytest.mark.parametrize(
    ("x", "y"), [([1.0], [1.0]), ([1.0, 2.0], [1.0]), ([3.0, 3.0], [1.0, 2.0])]
)
def test_what_gives_no_line_is_refused(x, y):
    with pytest.raises(UsageError):
        fit_line(x, y)
