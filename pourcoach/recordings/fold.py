"""A tape judged without a screen: the same fold, as fast as it goes."""

from collections import deque
from collections.abc import Iterator

from pourcoach.domain.frame import Frame
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import Tape


def frames(tape: Tape) -> Iterator[Frame]:
    """A Frame for each input, and the last one, refined, after them; nothing for an empty tape."""
    pipeline = Pipeline(tape.header.plan, tape.header.setup)
    for item in tape.inputs:
        yield pipeline.feed(item)
    if tape.inputs:
        yield pipeline.finish(tape.last_s)


def final_frame(tape: Tape) -> Frame | None:
    """The refined last Frame; None for an empty tape."""
    newest = deque(frames(tape), maxlen=1)
    return newest[0] if newest else None
