import pytest
from scipy import stats

from pourcoach.statistics.normal_and_t import t_95


@pytest.mark.parametrize("freedom", [*range(1, 32), 60, 500])
def test_t_is_that_of_scipy(freedom: int) -> None:
    assert t_95(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), abs=1e-3)
