"""The least delay of arrivals, and what a count that jumps to and fro says of it."""

import pytest

from pourcoach.estimation.stamps.delay_floor import DelayFloor


@pytest.mark.parametrize(
    ("back_s", "after_s", "jumps"), [(-0.1, 1.3, True), (-0.1, 1.7, False), (0.1, 1.3, False)]
)
def test_a_count_put_right_and_back_again_was_right_before(
    back_s: float, after_s: float, jumps: bool
) -> None:
    floor = DelayFloor()
    floor.mean_excess_s = 0.01
    floor.recounted(10.0, 0.1)
    floor.recounted(10.0 + after_s, back_s)
    assert floor.jumps is jumps
    assert floor.mean_excess_s == pytest.approx(0.11 if jumps else 0.01)
