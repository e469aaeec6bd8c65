"""Our solver on the line that NIST certified, and on what has no answer."""

import numpy as np
import pytest

from pourcoach.estimation.pours.least_squares import solve

# NIST StRD, linear regression, Norris (an ozone monitor against a standard): data and certified
# values from https://www.itl.nist.gov/div898/strd/lls/data/Norris.shtml (data as in scipy's tests).
NORRIS_X = [
    *(0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4),
    *(0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3),
    *(0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5),
]
NORRIS_Y = [
    *(0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3),
    *(0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3),
    *(0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2),
]


def test_norris():
    n, sx = len(NORRIS_X), sum(NORRIS_X)
    normal = [[float(n), sx], [sx, sum(x * x for x in NORRIS_X)]]
    right = [sum(NORRIS_Y), sum(x * y for x, y in zip(NORRIS_X, NORRIS_Y, strict=True))]
    (intercept, slope), inverse = solve(normal, right) or pytest.fail("no solution")
    assert slope == pytest.approx(1.00211681802045, rel=1e-9)
    assert intercept == pytest.approx(-0.262323073774029, rel=1e-9)
    squares = sum((y - intercept - slope * x) ** 2 for x, y in zip(NORRIS_X, NORRIS_Y, strict=True))
    variance = squares / (n - 2)
    assert variance**0.5 == pytest.approx(0.884796396144373, rel=1e-9)
    assert (variance * inverse[1][1]) ** 0.5 == pytest.approx(0.429796848199937e-3, rel=1e-9)
    assert (variance * inverse[0][0]) ** 0.5 == pytest.approx(0.232818234301152, rel=1e-9)


def test_random_systems_are_solved():
    rng = np.random.default_rng(7)
    for n in (1, 3, 6):
        root = rng.standard_normal((n, n))
        matrix, right = root @ root.T + np.eye(n), rng.standard_normal(n)
        x, inverse = solve(matrix.tolist(), right.tolist()) or pytest.fail("no solution")
        np.testing.assert_allclose(x, np.linalg.solve(matrix, right), rtol=1e-9)
        np.testing.assert_allclose(inverse, np.linalg.inv(matrix), rtol=1e-9, atol=1e-12)


def test_what_is_not_positive_definite_has_no_solution():
    assert solve([[1.0, 2.0], [2.0, 1.0]], [1.0, 1.0]) is None
