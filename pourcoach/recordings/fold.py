"""A tape judged without a screen: the same fold, as fast as it goes."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import inf
from pathlib import Path

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, Reading, Silence
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import Tape, TapeHeader, TapeStream, open_tape

SETTLED_S: Seconds = 120.0
"""So long after a brew has ended all of it has been refined: hindsight looks back over seconds, and
what is learnt of vapour over the rest that follows a pour."""


@dataclass(frozen=True, slots=True)
class JudgedTape:
    """What a recording says of its brew, without its readings."""

    header: TapeHeader
    """As it was judged."""
    last: Frame | None
    """The refined last Frame; None for an empty tape."""
    keys: tuple[Input, ...]
    """What came beside readings and silences, oldest first."""
    problem: str | None
    """Where the tape breaks and why; None on a good tape."""


def judged_tape(
    path: Path,
    under: Callable[[TapeHeader], TapeHeader] = lambda header: header,
    watch: Callable[[Frame], None] | None = None,
) -> JudgedTape:
    """Judge a tape file of any length, holding one input at a time.

    Readings that come more than ``SETTLED_S`` after the end of the brew are passed over: a scale
    that was left on says nothing of it. ``under`` may put another plan or other limits in the
    header's place; ``watch`` is given every Frame as it comes. Raises WorkError where the file
    cannot be read or is no tape.
    """
    try:
        return _judged_tape(path, under, watch, passing_over=True)
    except _GoesOnError:
        return _judged_tape(path, under, watch, passing_over=False)


def _judged_tape(
    path: Path,
    under: Callable[[TapeHeader], TapeHeader],
    watch: Callable[[Frame], None] | None,
    *,
    passing_over: bool,
) -> JudgedTape:
    with open_tape(path) as stream:
        header = under(stream.header)
        keys: list[Input] = []
        folded = _folded(
            header, _noting(stream, keys), lambda: stream.last_s, passing_over=passing_over
        )
        newest = deque(folded if watch is None else _watched(folded, watch), maxlen=1)
        return JudgedTape(header, newest[0] if newest else None, tuple(keys), stream.problem)


class _GoesOnError(Exception):
    """A key has opened the brew again after readings were passed over."""


def _watched(folded: Iterator[Frame], watch: Callable[[Frame], None]) -> Iterator[Frame]:
    for frame in folded:
        watch(frame)
        yield frame


def frames(tape: Tape) -> Iterator[Frame]:
    """A Frame for each input, and the last one, refined, after them; nothing for an empty tape."""
    return _folded(tape.header, tape.inputs, lambda: tape.last_s)


def final_frame(tape: Tape) -> Frame | None:
    """The refined last Frame; None for an empty tape."""
    newest = deque(frames(tape), maxlen=1)
    return newest[0] if newest else None


def _folded(
    header: TapeHeader,
    inputs: Iterable[Input],
    last_s: Callable[[], float],
    *,
    passing_over: bool = False,
) -> Iterator[Frame]:
    pipeline = Pipeline(header.plan, header.setup)
    fed = passed_over = False
    end: tuple[object, ...] = ()
    settled_s = inf
    for item in inputs:
        if item.t_s > settled_s and isinstance(item, Reading | Silence):
            passed_over = True
            continue
        fed = True
        frame = pipeline.feed(item)
        before, end = end, (frame.pour.phase, frame.pour.ending, frame.pour.end_s)
        if passed_over and end != before:
            raise _GoesOnError
        if frame.pour.phase is not Phase.DONE:
            settled_s = inf
        elif passing_over and settled_s == inf:
            settled_s = item.t_s + SETTLED_S
        yield frame
    if fed:
        yield pipeline.finish(last_s())


def _noting(stream: TapeStream, keys: list[Input]) -> Iterator[Input]:
    for item in stream:
        if not isinstance(item, Reading | Silence):
            keys.append(item)
        yield item
