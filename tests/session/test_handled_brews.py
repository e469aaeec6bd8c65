"""Whatever is pressed, in any order and number, changes no water and ends no brew unasked.

``python -m tests.benchmarks.handling`` does the same with hundreds of brews, and with lifts.
"""

import pytest

from pourcoach.domain.units import Grams
from tests.benchmarks.handling.cases import TUNING_SEED, handled
from tests.benchmarks.handling.followed import follow

SEEDS = range(TUNING_SEED + 600_000, TUNING_SEED + 600_006)
WATER_G: Grams = 1.0


@pytest.mark.parametrize("seed", SEEDS)
async def test_handling_changes_no_water_and_ends_no_brew(seed: int) -> None:
    one = await follow(handled(seed, lifts_too=False))
    assert one.water_off_g == pytest.approx(0.0, abs=WATER_G)
    assert not one.ended_unasked
