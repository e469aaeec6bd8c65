"""When the drip under a bed is over."""

import pytest

from pourcoach.coaching.platform.drawdown import Drawdown


@pytest.mark.parametrize("step_s", [0.0125, 0.1, 0.2, 0.3, 0.7])
def test_a_drip_that_has_stopped_is_over_however_seldom_the_scale_weighs(step_s: float) -> None:
    drawdown = Drawdown()
    for n in range(round(40.0 / step_s)):
        t_s = n * step_s
        drawdown.feed(t_s, min(t_s, 20.0))
    assert drawdown.over_since_s(t_s) == pytest.approx(20.0, abs=3.5)
