"""Whatever is pressed, in any order and number, changes no water and ends no brew unasked.

``python -m tests.benchmarks.handling`` does the same with hundreds of brews, and with lifts.
"""

import pytest

from pourcoach.domain.inputs import Begin, Finish, Reading, Tare, Undo
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Grams
from pourcoach.pipeline import Pipeline
from tests.benchmarks.handling.cases import TUNING_SEED, handled
from tests.benchmarks.handling.followed import follow
from tests.three_pours import PLAN

SEEDS = range(TUNING_SEED + 600_000, TUNING_SEED + 600_006)
WATER_G: Grams = 1.0


@pytest.mark.parametrize("seed", SEEDS)
async def test_handling_changes_no_water_and_ends_no_brew(seed: int) -> None:
    one = await follow(handled(seed, lifts_too=False))
    assert one.water_off_g == pytest.approx(0.0, abs=WATER_G)
    assert not one.ended_unasked


def poured(pipeline: Pipeline, from_s: float, from_g: float, to_g: float) -> float:
    """Rest a second, pour at 5 g/s and rest again; when that was over."""
    readings = round((to_g - from_g) / 0.5)
    for number in range(readings + 40):
        risen_g = min(to_g, from_g + 0.5 * max(0, number - 10))
        frame = pipeline.feed(Reading(round(from_s + number / 10, 4), risen_g))
    return frame.t_s


@pytest.mark.parametrize("arrangement", Arrangement)
def test_a_tare_and_its_undo_leave_the_water_as_it_was(arrangement: Arrangement) -> None:
    pipeline = Pipeline(PLAN, Setup(arrangement=arrangement))
    t_s = poured(pipeline, 0.1, 0.0, 0.0)
    pipeline.feed(Begin(t_s))
    t_s = poured(pipeline, t_s, 0.0, 40.0)
    before_g = pipeline.feed(Tare(t_s)).pour.water_g
    pipeline.feed(Undo(t_s + 0.3))
    t_s = poured(pipeline, t_s + 0.4, 40.0, 40.0)
    assert pipeline.finish(t_s).pour.water_g == pytest.approx(before_g, abs=0.1)
    assert before_g == pytest.approx(40.0, abs=0.3)


def test_two_ends_and_two_undos_after_a_tare_leave_the_water_as_it_was() -> None:
    pipeline = Pipeline(PLAN)
    t_s = poured(pipeline, 0.1, 0.0, 40.0)
    for number, key in enumerate((Tare, Finish, Finish, Undo, Undo)):
        pipeline.feed(key(t_s + 0.2 * number))
    t_s = poured(pipeline, t_s + 1.1, 40.0, 60.0)
    frame = pipeline.finish(t_s)
    assert frame.pour.water_g == pytest.approx(60.0, abs=0.3)
