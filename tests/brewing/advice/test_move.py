from collections import Counter

import pytest

from pourcoach.brewing.advice.move import NOTHING, Change, Move, Variable, change, changes_in


def test_each_of_the_six_variables_moves_both_ways() -> None:
    assert Counter(move.variable for move in Move) == dict.fromkeys(Variable, 2)
    assert len(Variable) == 6


@pytest.mark.parametrize("move", Move)
def test_back_is_the_same_variable_and_returns(move: Move) -> None:
    assert move.back is not move
    assert move.back.variable is move.variable
    assert move.back.back is move


@pytest.mark.parametrize("move", Move)
def test_each_says_how_and_what_it_should_do(move: Move) -> None:
    assert Change(move).how
    assert move.should


# What goes up with a move and what goes down must not be said twice the same way.
@pytest.mark.parametrize("move", Move)
def test_a_move_and_its_way_back_promise_different_things(move: Move) -> None:
    assert move.should != move.back.should
    assert Change(move).how != Change(move.back).how


@pytest.mark.parametrize("move", Move)
def test_each_changes_one_thing(move: Move) -> None:
    # No "and": a step that is two things teaches nothing.
    assert " and " not in Change(move).how


@pytest.mark.parametrize("move", Move)
@pytest.mark.parametrize("steps", [0.5, 1.0, 2.0])
def test_a_size_is_named_and_read_back(move: Move, steps: float) -> None:
    if move.variable.divides or steps == 1.0:
        one = Change(move, steps)
        assert change(one.name) == one
        assert one.back.back == one
        assert one.back.along == -one.along


@pytest.mark.parametrize(
    ("name", "how"),
    [
        ("half-finer", "grind half a step finer"),
        ("double-coarser", "grind two steps coarser"),
        ("half-hotter", "brew 1 °C hotter"),
        ("half-longer", "wait 5 s longer between pours"),
        ("half-less-water", "use half a part of water less (1:16 becomes 1:15.5)"),
        ("double-more-water", "use two parts of water more (1:16 becomes 1:18)"),
    ],
)
def test_how_a_size_is_made(name: str, how: str) -> None:
    assert change(name).how == how


def test_nothing_is_a_change_that_is_known() -> None:
    assert changes_in([NOTHING]) == ()
