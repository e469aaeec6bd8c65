from collections import Counter

import pytest

from pourcoach.brewing.move import Move, Variable


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
    assert move.how
    assert move.should


# What goes up with a move and what goes down must not be said twice the same way.
@pytest.mark.parametrize("move", Move)
def test_a_move_and_its_way_back_promise_different_things(move: Move) -> None:
    assert move.should != move.back.should
    assert move.how != move.back.how
