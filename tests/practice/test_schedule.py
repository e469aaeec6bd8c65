"""The share of pours with a result, block by block."""

from statistics import fmean

import pytest

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import NONE, USUAL, Part, Place, Schedule

SEEDS = range(100)


@pytest.mark.parametrize(
    ("level", "shares"),
    [
        (Level.BEGINNER, (1.0, 1.0, 0.67, 0.5, 0.33, 0.33)),
        (Level.PRACTISED, (1.0, 0.67, 0.5, 0.33, 0.33)),
        (Level.EXPERT, (1.0, 0.67, 0.5, 0.33, 0.33)),
    ],
)
def test_the_share_with_a_result_is_the_schedules_over_100_seeds(
    level: Level, shares: tuple[float, ...]
) -> None:
    """Each block has the share rounded up or down to whole pours; over the seeds it is met."""
    for block, share in enumerate(shares, 1):
        counts = [sum(p.result for p in USUAL.places(block, level, seed)) for seed in SEEDS]
        assert all(abs(count - 5 * share) < 1 for count in counts)
        assert fmean(counts) / 5 == pytest.approx(share, abs=0.005)


def test_live_help_is_for_beginners_and_their_first_block_alone() -> None:
    for seed in SEEDS:
        for level in Level:
            for block in range(1, 7):
                helped = {place.live_help for place in USUAL.places(block, level, seed)}
                assert helped == {level is Level.BEGINNER and block == 1}


def test_delays_lie_between_3_and_8_seconds_and_are_drawn() -> None:
    delays = [p.delay_s for seed in SEEDS for p in USUAL.places(2, Level.PRACTISED, seed)]
    assert min(delays) >= 3.0
    assert max(delays) <= 8.0
    assert max(delays) - min(delays) > 4.5


def test_tests_and_the_baseline_have_neither_help_nor_result() -> None:
    for part in (Part.BASELINE, Part.TEST, Part.WEEK_TEST, Part.TRANSFER_TEST):
        for place in USUAL.test_places(part):
            assert (place.live_help, place.result, place.part) == (False, False, part)
    assert len(USUAL.test_places(Part.BASELINE)) == 1


def test_equal_seeds_give_equal_blocks_and_others_differ() -> None:
    blocks = [USUAL.places(3, Level.PRACTISED, seed) for seed in (1, 1, 2, 3)]
    assert blocks[0] == blocks[1]
    assert len(set(blocks)) > 1


def test_which_pours_have_a_result_is_drawn_evenly() -> None:
    often = [0] * 5
    for seed in range(400):
        for pour, place in enumerate(USUAL.places(3, Level.PRACTISED, seed)):
            often[pour] += place.result
    # 400 draws of a half: standard deviation 10.
    assert all(abs(count - 200) < 40 for count in often)


def test_without_a_schedule_every_pour_has_a_result() -> None:
    for block in (1, 2, 9):
        places = NONE.places(block, Level.BEGINNER, 1)
        assert all(place.result and not place.live_help for place in places)
    assert not NONE.tests


def test_a_trainers_schedule_is_read() -> None:
    table = {"block": 8, "shares": [0.5], "delay_s": [1, 2], "tests": False}
    own = Schedule.from_table(CheckedTable("the schedule", table))
    assert own == Schedule(block=8, shares=(0.5,), delay_s=(1.0, 2.0), tests=False)


def test_a_place_goes_on_the_tape_and_back() -> None:
    for place in (*USUAL.places(2, Level.BEGINNER, 5), *USUAL.test_places(Part.WEEK_TEST)):
        assert Place.from_table(CheckedTable("it", place.as_dict())) == place


def test_a_place_that_is_not_counted_is_the_only_one() -> None:
    place = Place.from_table(CheckedTable("it", {"part": "test"}))
    assert (place.pour, place.of) == (1, 1)
