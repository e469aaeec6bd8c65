"""Advice followed by a small brewer model, from many starts."""

from collections import Counter
from itertools import product

import pytest

from pourcoach.brewing.advice.dialling_in import MOST_BREWS
from pourcoach.brewing.advice.rule import AdviceStep
from tests.brewing.advice.brewer_model import Brewer, Coffee, moves

# Wide of the classic box by up to 3 %, a grinder of fine steps to coarse ones, ratio and time off.
STARTS = [
    Coffee(extraction, per_grind, ratio, time)
    for extraction, per_grind, ratio, time in product(
        (15.0, 16.0, 17.0, 17.5, 19.0, 20.5, 22.5, 23.0, 24.0, 25.0),
        (1.0, 1.5, 2.5, 4.5, 6.0),
        (14.0, 15.0, 16.0, 17.0, 18.0),
        (0.8, 1.0, 1.2),
    )
]
# By what a brewer reports of a cup.
REPORTS = {
    "taste": {"measures": False},
    "figures": {"tastes": False, "measures": True},
    "both": {"measures": True},
    "taste, never which was worse": {"measures": False, "compares": False},
    "taste, without a clock": {"measures": False, "times": False},
}


@pytest.mark.parametrize("reports", REPORTS)
def test_it_settles_within_six_brews_and_brews_no_setting_twice(reports: str) -> None:
    ends: Counter[str] = Counter()
    for coffee in STARTS:
        brewer = Brewer(coffee, **REPORTS[reports])
        brews = brewer.dial_in(MOST_BREWS + 3)
        assert brews <= MOST_BREWS, (coffee, moves(brewer))
        assert brewer.advice[-1].step in (AdviceStep.KEEP, AdviceStep.SETTLED)
        assert len(set(brewer.visited)) == len(brewer.visited), (coffee, moves(brewer))
        ends[brewer.advice[-1].rule.name] += 1
    assert sum(ends.values()) == 750
    # Nearly all end with a good cup, the rest between two settings or with the best of six.
    assert ends["balanced"] + ends["within-errors"] >= 0.95 * 750, ends


@pytest.mark.parametrize("reports", REPORTS)
def test_it_gives_up_in_time_where_no_setting_is_good(reports: str) -> None:
    """Far from any good cup, a bed that clogs from one step finer on: no grind brings it in."""
    for extraction, ratio in product((10.0, 13.0, 15.0), (13.0, 16.0, 19.0)):
        brewer = Brewer(Coffee(extraction, 2.5, ratio, chokes_from=0.0), **REPORTS[reports])
        assert brewer.dial_in(MOST_BREWS + 3) <= MOST_BREWS, moves(brewer)
        assert len(set(brewer.visited)) == len(brewer.visited), moves(brewer)


def test_half_a_step_where_it_turned() -> None:
    """16 % and 22.5 %: the best lies between."""
    brewer = Brewer(Coffee(16.0, 6.5, 16.0))
    assert brewer.dial_in(6) == 3
    assert moves(brewer)[:2] == ["under: finer", "over: half-coarser"]
    assert brewer.advice[-1].rule.name == "balanced"


def test_two_settings_enclose_the_best() -> None:
    """One step of this grinder is 9 %: 17.5 % and 22 % with half a step, 26.5 % with one."""
    brewer = Brewer(Coffee(17.0, 12.0, 16.0))
    assert brewer.dial_in(6) == 3
    assert moves(brewer) == ["under: finer", "over: half-coarser", "enclosed: "]
    assert brewer.advice[-1].enclosed is not None


def test_a_finer_grind_that_clogs_the_bed_is_taken_back_for_good() -> None:
    brewer = Brewer(Coffee(17.2, 1.0, 16.0, chokes_from=0.0), times=False)
    assert brewer.dial_in(6) <= 6
    assert moves(brewer)[:2] == ["under: finer", "under: coarser and longer"]
    assert not any("finer" in move for move in moves(brewer)[2:])
    assert brewer.advice[-1].rule.name == "balanced"


def test_figures_ask_for_two_steps_at_once() -> None:
    brewer = Brewer(Coffee(13.0, 1.5, 16.0), tastes=False, measures=True)
    brewer.dial_in(6)
    assert moves(brewer)[:2] == ["under: finer", "under: double-finer"]
