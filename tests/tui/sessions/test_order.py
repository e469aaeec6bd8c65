"""In which order the list of brews stands."""

from pourcoach.tui.sessions.order import Order, in_order
from tests.tui.sessions.made_shelf import BREWS


def test_orders() -> None:
    by_marks = in_order(BREWS, Order.MARKS)
    assert [one.number for one in by_marks[:3]] == [3, 2, 1]
    by_who = in_order(BREWS, Order.WHO)
    assert by_who[-1].by is None
    names = [str(one.by) for one in by_who[:-1]]
    assert names == sorted(names, key=str.casefold)
    assert in_order(BREWS, Order.COFFEE)[0].coffee == "Washed 7"
    newest = [one.recorded_at for one in in_order(reversed(BREWS), Order.WHEN)]
    assert newest == sorted(newest, reverse=True)
