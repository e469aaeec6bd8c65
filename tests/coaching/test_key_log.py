"""What the keys did, and what undo took back."""

import pytest

from pourcoach.coaching.key_log import KeyLog
from pourcoach.domain.inputs import Begin, Finish, Input, Mark, Note, Reading, Tare, Undo
from pourcoach.domain.key_press import Key, KeyPress
from pourcoach.estimation.platform.undo import UndoHistory

MARK, NOTE = KeyPress(1.0, Key.MARK), KeyPress(2.0, Key.NOTE, "kettle swapped")


def log_of(*items: Input, done: bool = False) -> KeyLog:
    log, history = KeyLog(), UndoHistory()
    for item in items:
        log.feed(item, history.feed(item), done=done)
    return log


def test_marks_and_notes_stay_and_readings_are_no_keys() -> None:
    log = log_of(Mark(1.0), Reading(1.5, 3.0), Note(2.0, "kettle swapped"), Tare(3.0))
    assert log.moments == (MARK, NOTE)
    assert log.last == KeyPress(3.0, Key.TARE)


@pytest.mark.parametrize(
    ("items", "moments", "undone"),
    [
        ((Mark(1.0), Undo(3.0)), (), MARK),
        ((Mark(1.0), Note(2.0, "kettle swapped"), Undo(3.0)), (NOTE,), MARK),
        ((Mark(1.0), Tare(2.0), Undo(3.0)), (MARK,), KeyPress(2.0, Key.TARE)),
        ((Mark(1.0), Begin(2.0), Undo(3.0)), (), MARK),
        ((Finish(1.0), Undo(3.0)), (), KeyPress(1.0, Key.FINISH)),
        ((Undo(3.0),), (), None),
        ((Mark(1.0), Undo(2.0), Undo(3.0)), (), None),
    ],
)
def test_undo_takes_back_the_last_that_can_be(
    items: tuple[Input, ...], moments: tuple[KeyPress, ...], undone: KeyPress | None
) -> None:
    log = log_of(*items)
    assert log.moments == moments
    assert log.last == KeyPress(3.0, Key.UNDO, undone=undone)


def test_a_brew_that_is_over_is_not_ended_again() -> None:
    assert log_of(Mark(1.0), Finish(2.0), done=True).last == MARK


def test_a_finish_that_did_nothing_is_not_taken_back() -> None:
    log, history = KeyLog(), UndoHistory()
    for item in (Tare(1.0), Finish(2.0), Undo(3.0)):
        log.feed(item, history.feed(item), done=True)
    assert log.last == KeyPress(3.0, Key.UNDO, undone=None)
