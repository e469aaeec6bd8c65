"""What the brewer is asked while pouring: another pace, a steadier stream, more water."""

from math import sqrt

from pourcoach.coaching.flags.flow import FlowWatch
from pourcoach.coaching.flow.pacing import PACE_FROM_S, Pacing
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Stage
from pourcoach.domain.pour import PourState
from pourcoach.domain.units import Seconds

# Common practice; no published source. A word must be worth looking up for, and must stay long
# enough to be read and answered.
ENTER_S: Seconds = 0.6
LEAVE_S: Seconds = 0.3
HOLD_S: Seconds = 1.5
GLANCE_S: Seconds = 0.8
"""A word that would be shown for less is not shown: the one before it stays."""
ROUNDING_S: Seconds = 1e-6
"""Readings often fall on the hold to the moment (15 periods of 0.1 s): no last bit may decide."""
INSIDE = 0.8
"""Share of its limit that a figure must be back within before what it led to is taken back."""
PACE_DOUBT = 0.30
"""Least share by which the pace must be off after one second of flow: a flow that wanders by a
fifth at 0.3 to 0.9 Hz leaves its mean uncertain by about half of this. It falls with the root of
the time."""
ANSWERED = 0.08
"""Share of the planned flow by which the flow must move for a word about the pace to be answered:
half of what brewers make of such a word (common practice)."""
WANDER_FROM_S: Seconds = 3.0
"""Least duration of flow that shows whether it is steady."""
TOO_LATE_S: Seconds = 2.0
"""So near to STOP a correction changes nothing any more: it takes that long to be answered."""
UNSTEADY = 0.9
"""Times the limit of unevenness from which STEADY is said while water runs: a little before it is
a fault, since what is said comes late and only the rest of the pour can be mended."""

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_MORE, _SLOW, _STEADY = Word.MORE, Word.SLOW, Word.STEADY
_ON_TARGET, _UNDER, _OVER = CueState.ON_TARGET, CueState.UNDER, CueState.OVER
_STATES = {_MORE: _UNDER, _SLOW: _OVER, _STEADY: CueState.UNSTEADY}
"""The state of the cue while each of these is asked."""


class Corrections:
    """Chooses one word at a time, kept until it is answered, and the state of the pour beside it.

    Another pace is asked for if this one would leave the band before STOP. Water that is already
    ahead or behind is not corrected for: the brewer would have to overshoot and come back, and a
    pour of two paces is less even than one at a wrong pace. A word about the pace is shown,
    answered, and judged again from the flow after the answer; until then the state stays.
    """

    def __init__(self, pacing: Pacing, limits: FlagLimits) -> None:
        self.word: Word | None = None
        """The word that is asked now; None if none is."""
        self.since_s: Seconds = 0.0
        self.state = _ON_TARGET
        """The state of the pour, whether or not anything is asked."""
        self._pacing = pacing
        self._pace_share = limits.pace_share
        self._unsteady_cv = UNSTEADY * limits.uneven_cv
        self._of_pace = False
        """Whether the word in force is about the pace, so that its answer shows in the flow."""
        self._release_s: Seconds | None = None
        """Since when the word in force might be taken back."""
        self._asked: Word | None = None
        self._asked_s: Seconds = 0.0
        self._weighed = _ON_TARGET
        """Whether the weight is within the band, over or under."""
        self._weighed_s: Seconds = 0.0

    def rest(self) -> None:
        """Forget the word: no stage is being poured, or nothing can be asked now."""
        self.word = self._release_s = self._asked = None
        self.state = self._weighed = _ON_TARGET

    def feed(
        self,
        t_s: Seconds,
        state: PourState,
        stage: Stage,
        watch: FlowWatch,
        left_s: Seconds,
        *,
        running: bool,
        touched: bool,
    ) -> None:
        """Take one moment of a stage. ``left_s`` is the time until STOP; ``running`` is False if
        the water stopped short of the mark; ``touched``: something touches the scale, so that
        nothing is asked."""
        asked = None
        if left_s > TOO_LATE_S and not touched:
            asked = self._ask(watch, self._leaves(state, stage, left_s)) if running else _MORE
        answered = touched or not running or self._is_answered(stage, asked)
        self._weigh(t_s, asked, left_s, answered=answered, at_once=watch.surging)
        self._of_pace = running and self.word is not None
        self.state = self._stands(t_s, state)

    def _ask(self, watch: FlowWatch, leaves: Word | None) -> Word | None:
        """The correction that the moment asks for, by rank: too much cannot be undone, too little
        can.
        """
        if watch.surging or leaves is _SLOW:
            return _SLOW
        recent = self._pacing.since_correction
        limit_cv = self._unsteady_cv * (INSIDE if self.word is _STEADY else 1.0)
        if recent.lasted_s > WANDER_FROM_S and recent.cv > limit_cv:
            return _STEADY
        return _MORE if watch.stalled else leaves

    def _leaves(self, state: PourState, stage: Stage, left_s: Seconds) -> Word | None:
        """The word for a pace that leaves the band before STOP."""
        recent = self._pacing.since_correction
        if recent.lasted_s < PACE_FROM_S or state.off_g is None or state.band_g is None:
            return None
        off_gps = recent.mean_gps - stage.flow_gps
        least = max(self._pace_share, PACE_DOUBT / sqrt(recent.lasted_s))
        if abs(off_gps) < least * stage.flow_gps:
            return None
        off_g = state.off_g + off_gps * left_s
        if abs(off_g) <= state.band_g or (off_g > 0.0) != (off_gps > 0.0):
            return None
        return _SLOW if off_gps > 0.0 else _MORE

    def _weigh(
        self, t_s: Seconds, asked: Word | None, left_s: Seconds, *, answered: bool, at_once: bool
    ) -> None:
        """Let a correction in after a while, keep it until it is answered, and let it go after a
        while. ``at_once``: its reason has lasted long enough already.
        """
        if asked is not self._asked:
            self._asked, self._asked_s = asked, t_s
        in_force = self.word
        if in_force is not None and not answered and asked in (None, in_force):
            self._release_s = None
            return
        if asked is in_force and not (answered and self._of_pace):
            self._release_s = None
            return
        if self._release_s is None:
            self._release_s = t_s
        if in_force is not None and t_s - self.since_s < HOLD_S - ROUNDING_S:
            return
        if asked not in (None, in_force):
            if at_once or t_s - self._asked_s >= ENTER_S:
                self.word, self.since_s, self._release_s = asked, t_s, None
                if asked is not _STEADY:
                    self._pacing.corrected(t_s)
        elif t_s - self._release_s >= LEAVE_S and left_s > GLANCE_S:
            self.word = self._release_s = self._asked = None

    def _is_answered(self, stage: Stage, asked: Word | None) -> bool:
        """Whether the flow has moved as the word in force asked, or has been judged again, from a
        stretch of its own, and found right.
        """
        pacing = self._pacing
        if self.word not in (_MORE, _SLOW):
            return asked is not self.word
        if not self._of_pace:
            # It was said to water that had stopped, and the water runs again.
            return True
        moved_gps = pacing.moved_gps * (1.0 if self.word is _MORE else -1.0)
        if moved_gps >= ANSWERED * stage.flow_gps:
            return True
        off_gps = abs(pacing.since_correction.mean_gps - stage.flow_gps)
        return not pacing.is_answering and off_gps < INSIDE * self._pace_share * stage.flow_gps

    def _stands(self, t_s: Seconds, state: PourState) -> CueState:
        """The word's own state while it is in force and until its answer has been judged; else
        where the weight lies against the band.
        """
        if self.word is not None:
            return _STATES[self.word]
        weighed = self._by_weight(t_s, state)
        waits = self._pacing.is_answering and self.state is not _ON_TARGET
        return self.state if waits else weighed

    def _by_weight(self, t_s: Seconds, state: PourState) -> CueState:
        """With the hysteresis of a word, so that no edge of the band makes the panel flicker."""
        off_g, band_g = state.off_g, state.band_g
        now = _ON_TARGET
        if off_g is not None and band_g is not None:
            edge_g = band_g * (INSIDE if self._weighed is not _ON_TARGET else 1.0)
            if abs(off_g) > edge_g:
                now = _OVER if off_g > 0.0 else _UNDER
        if now is self._weighed:
            self._weighed_s = t_s
        elif t_s - self._weighed_s >= (LEAVE_S if now is _ON_TARGET else ENTER_S):
            self._weighed, self._weighed_s = now, t_s
        return self._weighed
