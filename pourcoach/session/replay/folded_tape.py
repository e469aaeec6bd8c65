"""A tape's Frames, worked out once and kept: winding back a replay then costs nothing."""

from bisect import bisect_right

from pourcoach.domain.frame import Frame
from pourcoach.domain.slices import Slices
from pourcoach.domain.units import Seconds
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import Tape


class FoldedTape:
    """``fold`` takes the next inputs. A Frame of a long tape takes about a kilobyte."""

    def __init__(self, tape: Tape) -> None:
        self._tape = tape
        self._pipeline = Pipeline(tape.header.plan, tape.header.setup)
        self._times_s: list[Seconds] = []
        self.frames: list[Frame] = []
        """One for each input taken so far."""
        self._finishing: Slices[Frame] | None = None
        self.last: Frame | None = None
        """The refined last Frame; None until all is taken, and on an empty tape."""

    @property
    def complete(self) -> bool:
        """Whether all inputs are taken, and the last Frame is there."""
        taken = len(self.frames) == len(self._tape.inputs)
        return taken and (self.last is not None or not self.frames)

    def fold(self) -> None:
        """Take the next input, or do a slice of what is left to refine after the last one."""
        inputs, taken = self._tape.inputs, len(self.frames)
        if taken == len(inputs):
            self._finish()
            return
        item = inputs[taken]
        self.frames.append(self._pipeline.feed(item))
        self._times_s.append(item.t_s)
        if taken + 1 == len(inputs):
            self._finishing = self._pipeline.finishing(max(item.t_s, self._tape.last_s))

    def _finish(self) -> None:
        if self._finishing is None or self.last is not None:
            return
        try:
            next(self._finishing)
        except StopIteration as done:
            self.last = done.value

    def count_until(self, t_s: Seconds) -> int:
        """How many of the Frames so far lie at or before ``t_s``."""
        return bisect_right(self._times_s, t_s)

    @property
    def reached(self) -> Frame | None:
        """The Frame that knows most: the last one, or that of the newest input taken."""
        return self.last or (self.frames[-1] if self.frames else None)
