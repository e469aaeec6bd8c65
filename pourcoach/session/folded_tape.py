"""A tape's Frames, worked out once and kept: winding back a replay then costs nothing."""

from bisect import bisect_right

from pourcoach.domain.frame import Frame
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
        self.last: Frame | None = None
        """The refined last Frame; None until all is taken, and on an empty tape."""

    @property
    def complete(self) -> bool:
        """Whether all inputs are taken."""
        return len(self.frames) == len(self._tape.inputs)

    def fold(self) -> None:
        """Take the next input, if there is one."""
        inputs, taken = self._tape.inputs, len(self.frames)
        if taken == len(inputs):
            return
        item = inputs[taken]
        self.frames.append(self._pipeline.feed(item))
        self._times_s.append(item.t_s)
        if taken + 1 == len(inputs):
            self.last = self._pipeline.finish(max(item.t_s, self._tape.last_s))

    def count_until(self, t_s: Seconds) -> int:
        """How many of the Frames so far lie at or before ``t_s``."""
        return bisect_right(self._times_s, t_s)

    @property
    def reached(self) -> Frame | None:
        """The Frame that knows most: the last one, or that of the newest input taken."""
        return self.last or (self.frames[-1] if self.frames else None)
