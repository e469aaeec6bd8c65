"""A brew with brewer and server on the scale: the weight is the water poured."""

from pourcoach.coaching.cues.cues import Cues
from pourcoach.coaching.cues.stopping import Stopping
from pourcoach.coaching.flags.book import FlagBook
from pourcoach.coaching.flow.pacing import Pacing
from pourcoach.coaching.flow.trace import Trace
from pourcoach.coaching.progress import Progress
from pourcoach.domain.advice import Cue, Flag
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.inputs import Input
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_POURING = Phase.POURING


class PouredBrew:
    """Follows one brew pour by pour."""

    def __init__(self, plan: Plan | None, setup: Setup) -> None:
        limits = plan.limits if plan is not None else FlagLimits()
        self._trace = Trace()
        self._progress = Progress(plan, self._trace)
        self._book = FlagBook(limits)
        self._stopping = Stopping(setup)
        self._pacing = Pacing(limits.ramp_up_s)
        self._cues = Cues(self._stopping, self._pacing, limits)
        self.flags: tuple[Flag, ...] = ()
        """All flags so far, oldest first; the same tuple until one comes or changes."""
        self.reaction_s: Seconds | None = None
        """The brewer's reaction time as learnt; None until something was learnt from a stop."""

    def feed(self, item: Input, estimate: Estimate) -> tuple[PourState, Cue]:
        """Take one input; return the state and the cue after it."""
        progress, book = self._progress, self._book
        samples = self._trace.feed(item, estimate)
        state = progress.feed(item, estimate)
        lifted, poured = progress.lifted, progress.log.poured
        book.feed(item, estimate, samples, progress.log, state, lifted=lifted)
        self.flags = book.flags
        if self._stopping.said is not None:
            self._learn()
        newest = poured[-1] if poured else None
        if newest is None or state.phase is not _POURING or lifted:
            self._pacing.rest()
        else:
            for sample in samples:
                clear = self._trace.is_clear(sample.t_s)
                self._pacing.feed(sample, newest.stage.pours[-1], clear=clear)
        return state, self._cues.feed(item, estimate, state, newest, book.flow)

    def close(self, t_s: Seconds, estimate: Estimate) -> tuple[PourState, Cue]:
        """End the input: judge what is left, and return the last state and cue."""
        state = self._progress.close(t_s, estimate)
        self._book.close(t_s, estimate, self._progress.log, state)
        self.flags = self._book.flags
        self._learn()
        return state, self._cues.done(t_s)

    def _learn(self) -> None:
        """Learn from where the last stop landed, once that is refined."""
        self._stopping.learn(self._progress.log.poured)
        self.reaction_s = self._stopping.reaction_s if self._stopping.learnt_from else None
