"""The adaptive method against the example of its own paper, and by its own properties."""

from random import Random

import pytest

from pourcoach.practice.spotting.quest_plus import QuestPlus

GRID = tuple(float(level) for level in range(-40, 1))
ANSWERS = "111100" + "1" * 8 + "0110110" + "1" * 11
STIMULI = (
    [-18, -22, -25, -28, -30, -22, -13, -15, -16, -18, -19, -20, -21, -22, -23, -19, -20, -20]
    + [-18, -18, -19, -17, -17, -18, -18, -18]
    + [-19] * 6
)


def test_it_repeats_the_example_of_the_paper() -> None:
    """Watson 2017, example 1: threshold of a forced choice, slope 3.5, guess 0.5, lapse 0.02.

    Mean and standard deviation of the last posterior were worked out beside the program.
    """
    quest = QuestPlus(GRID, GRID)
    shown = []
    for answer in ANSWERS:
        stimulus = quest.next_stimulus
        shown.append(stimulus)
        quest.answer(stimulus, answer == "1")
    found = quest.threshold()
    assert shown == STIMULI
    assert found.trials == len(ANSWERS) == 32
    assert found.mode == -20
    assert found.mean == pytest.approx(-20.394, abs=5e-4)
    assert found.deviation == pytest.approx(1.389, abs=5e-4)


def test_the_interval_holds_what_it_should_of_a_flat_prior() -> None:
    low, high = QuestPlus((0.0,), GRID).threshold().interval
    assert (low, high) == pytest.approx((-40.5 + 0.025 * 41, 0.5 - 0.025 * 41))


def test_a_prior_moves_the_first_stimulus() -> None:
    flat = QuestPlus(GRID, GRID)
    sure = QuestPlus(GRID, GRID, prior=[float(level == -30) + 1e-6 for level in GRID])
    assert sure.next_stimulus < flat.next_stimulus


def test_more_trials_narrow_the_interval() -> None:
    widths = []
    for trials in (10, 40):
        quest = QuestPlus(GRID, GRID, guesses=(0.05,))
        chance = Random(7)
        for _ in range(trials):
            stimulus = quest.next_stimulus
            quest.answer(stimulus, chance.random() < (0.9 if stimulus > -20 else 0.1))
        low, high = quest.threshold().interval
        widths.append(high - low)
    assert widths[1] < 0.7 * widths[0]


@pytest.mark.parametrize("wrong", [{"prior": (1.0,)}, {"slopes": ()}])
def test_grids_that_do_not_fit_are_refused(wrong) -> None:
    with pytest.raises(ValueError, match=r"do not fit|each need"):
        QuestPlus(GRID, GRID, **wrong)
