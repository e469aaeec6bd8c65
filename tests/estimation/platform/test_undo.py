"""One history of what may be taken back."""

import pytest

from pourcoach.domain.inputs import Finish, Mark, Reading, Tare, Undo
from pourcoach.estimation.platform.undo import UndoHistory


@pytest.mark.parametrize(
    ("items", "taken_back"),
    [
        ([Undo(1.0)], [None]),
        ([Tare(1.0), Undo(2.0)], [Tare(1.0)]),
        ([Tare(1.0), Mark(2.0), Undo(3.0), Undo(4.0)], [Mark(2.0), Tare(1.0)]),
        ([Tare(1.0), Reading(2.0, 5.0), Undo(3.0)], [Tare(1.0)]),
        ([Tare(1.0), Finish(2.0), Finish(3.0), Undo(4.0), Undo(5.0)], [Finish(2.0), Tare(1.0)]),
        ([Finish(1.0), Mark(2.0), Finish(3.0), Undo(4.0), Undo(5.0)], [Mark(2.0), Finish(1.0)]),
        ([Finish(1.0), Undo(2.0), Finish(3.0), Undo(4.0)], [Finish(1.0), Finish(3.0)]),
    ],
    ids=[
        "nothing",
        "a tare",
        "newest first",
        "not readings",
        "one finish of two",
        "a mark between",
        "again",
    ],
)
def test_the_newest_act_is_taken_back_first(items, taken_back):
    history = UndoHistory()
    found = [history.feed(item) for item in items]
    assert [one for one, item in zip(found, items, strict=True) if isinstance(item, Undo)] == (
        taken_back
    )
