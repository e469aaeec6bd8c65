"""From what the readings tell to what is said: one Estimate in, one Frame out."""

from pourcoach.coaching.cues import Cues
from pourcoach.coaching.flags.book import FlagBook
from pourcoach.coaching.progress import Progress
from pourcoach.coaching.risk import LOW, risk_of
from pourcoach.coaching.stopping import Stopping
from pourcoach.coaching.trace import Trace
from pourcoach.domain.advice import Cue, Flag
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import PourState
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds


class Coach:
    """The coaching half of the fold. Equal inputs and estimates give equal Frames."""

    def __init__(self, plan: Plan | None, setup: Setup) -> None:
        limits = plan.limits if plan is not None else FlagLimits()
        self._trace = Trace()
        self._progress = Progress(plan, self._trace)
        self._book = FlagBook(limits)
        self._stopping = Stopping(setup)
        self._cues = Cues(self._stopping, limits.uneven_cv)
        self._last_s: Seconds = 0.0
        self._flags: tuple[Flag, ...] = ()
        self._risk = LOW

    def feed(self, item: Input, estimate: Estimate) -> Frame:
        """Take the next input with its estimate. Its ``t_s`` must not lie before the last one's."""
        progress = self._progress
        sample = self._trace.feed(item, estimate)
        state = progress.feed(item, estimate)
        self._book.feed(item, estimate, sample, progress, state)
        newest = progress.poured[-1] if progress.poured else None
        cue = self._cues.feed(item, estimate, state, newest, self._book.flow)
        self._last_s = item.t_s
        return self._frame(item.t_s, estimate, state, cue)

    def close(self, estimate: Estimate) -> Frame:
        """The input has ended: judge what is left. A brew not over ends with the tape."""
        t_s = max(self._last_s, estimate.t_s)
        state = self._progress.close(t_s, estimate)
        self._book.look(t_s, self._progress, state)
        return self._frame(t_s, estimate, state, self._cues.done(t_s))

    def _frame(self, t_s: Seconds, estimate: Estimate, state: PourState, cue: Cue) -> Frame:
        flags = self._book.flags
        if flags is not self._flags:
            self._flags = flags
            self._risk = risk_of(flags)
        learnt = self._stopping.reaction_s if self._stopping.learnt_from else None
        return Frame(t_s, estimate, state, cue, flags, self._risk, learnt)
