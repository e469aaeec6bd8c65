"""What the keys did, in words."""

import pytest

from pourcoach.domain.key_press import Key, KeyPress
from pourcoach.wording import key_sentence, moment_words

MARK = KeyPress(46.0, Key.MARK)
NOTE = KeyPress(75.2, Key.NOTE, "kettle swapped")


@pytest.mark.parametrize(
    ("press", "sentence"),
    [
        (MARK, "Marked: 0:42."),
        (NOTE, "Note kept, 1:11: kettle swapped"),
        (KeyPress(2.0, Key.MARK), "Marked: before the first water."),
        (KeyPress(46.0, Key.TARE), "Tared."),
        (KeyPress(46.0, Key.FINISH), "Ended by key, 0:42."),
        (KeyPress(50.0, Key.UNDO, undone=MARK), "Taken back: the mark, 0:42."),
        (KeyPress(50.0, Key.UNDO, undone=KeyPress(46.0, Key.FINISH)), "The brew goes on."),
        (KeyPress(50.0, Key.UNDO), "There is nothing to take back."),
    ],
)
def test_a_confirmation(press: KeyPress, sentence: str) -> None:
    assert key_sentence(press, 4.0) == sentence


@pytest.mark.parametrize("key", Key)
def test_every_key_has_words(key: Key) -> None:
    assert key_sentence(KeyPress(1.0, key), None)


def test_in_a_list() -> None:
    assert moment_words(MARK, 4.0) == "0:42 mark"
    assert moment_words(NOTE, 4.0) == "1:11 note: kettle swapped"
