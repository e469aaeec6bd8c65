"""What a path through the states of the platform amounts to."""

import pytest

from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.account import account
from pourcoach.estimation.platform.hypothesis import Hypothesis, Path, Turn, TurnKind


def test_of_returns_that_bounce_each_has_its_own_water_and_all_together_one_change() -> None:
    """A brewer of 300 g, away with 40 g shown; the first bounce looks like 16 g of water in it."""
    path = Hypothesis(0.0, False, 0, state_at(0, 40.0, 0.01, 0.001, 0.0), 300.0, 0.0)
    for turn in (
        Turn(1000, TurnKind.OFF, 300.0, 0.0, 40.0, 0.0),
        Turn(1200, TurnKind.RETURN, 0.0, 0.0, 56.0, 300.0, water_g=16.0),
        Turn(1300, TurnKind.OFF, 0.0, 0.0, 56.0, 0.0),
        Turn(1400, TurnKind.RETURN, 0.0, 0.0, 41.0, 0.0, water_g=1.0),
    ):
        path = path.turned(0.0, turn)
    off, back = account(path)
    assert (off.kind, back.kind) == (TurnKind.OFF, TurnKind.RETURN)
    assert (back.change_g, back.water_g) == pytest.approx((300.0, 1.0))


@pytest.mark.parametrize(
    ("off", "kind", "keeps"),
    [
        (False, None, True),
        (True, None, False),
        (False, TurnKind.BACK, True),
        (True, TurnKind.BACK, False),
        (False, TurnKind.STREAM, True),
        (False, TurnKind.TARE, False),
        (False, TurnKind.VESSEL, False),
    ],
)
def test_the_level_is_kept_until_it_jumps(off: bool, kind: TurnKind | None, keeps: bool) -> None:
    path = None if kind is None else Path(Turn(1000, kind, 0.0, 0.0, 40.0, 0.0), None)
    state = state_at(0, 40.0, 0.01, 0.001, 0.0)
    assert Hypothesis(0.0, off, 0, state, 0.0, 0.0, path).keeps_its_level() is keeps
