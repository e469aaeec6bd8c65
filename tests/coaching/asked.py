"""What the panel asks."""

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Question
from tests.coaching.conftest import Brew


def asked(brew: Brew) -> Question | None:
    """The question in the newest Frame, whose word must say that there is one."""
    frame = brew.frames[-1]
    assert (frame.cue.word is Word.SCALE) is (frame.pour.question is not None)
    return frame.pour.question
