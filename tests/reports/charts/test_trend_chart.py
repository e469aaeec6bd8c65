"""The dates under the chart of a trend."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from pourcoach.reports.charts.trend_chart import dates_between

FIRST = date(2026, 2, 2)


@pytest.mark.parametrize("span", [*range(1, 40), 365])
def test_dates_are_whole_days_evenly_apart(span: int) -> None:
    last = FIRST + timedelta(days=span)
    dates = dates_between(FIRST, last)
    assert (dates[0], dates[-1]) == (FIRST, last)
    assert 2 <= len(dates) <= 8
    *steps, end = [(later - earlier).days for earlier, later in pairwise(dates)]
    assert len(set(steps)) <= 1
    if steps:
        assert steps[0] / 2 <= end < steps[0] * 3 / 2
