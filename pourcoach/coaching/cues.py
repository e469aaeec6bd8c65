"""The one thing to do now, from a closed list: ranked, with hysteresis, never two at once."""

from collections.abc import Mapping
from math import inf, sqrt

from pourcoach.coaching.bounds import is_bloom
from pourcoach.coaching.flags.flow import FlowWatch
from pourcoach.coaching.pacing import Pacing
from pourcoach.coaching.silences import Silences
from pourcoach.coaching.stages import Poured
from pourcoach.coaching.stopping import Said, Stopping
from pourcoach.domain.advice import Cue, Word
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Stage
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# Common practice; no published source. A word must be worth looking up for, and must stay long
# enough to be read and answered.
ENTER_S: Seconds = 0.6
LEAVE_S: Seconds = 0.3
HOLD_S: Seconds = 1.5
GLANCE_S: Seconds = 0.8
"""A word that would be shown for less is not said: the one before it stays."""
ROUNDING_S: Seconds = 1e-6
"""Readings often fall on the hold to the moment (15 periods of 0.1 s): no last bit may decide."""
INSIDE = 0.8
"""Share of its limit that the wander must be back within before STEADY is taken back."""
PACE_FROM_S: Seconds = 2.0
"""Least flow that tells a pace: about one swing of a hand."""
PACE_OFF = 0.17
"""Share of the planned flow: nearer is as near as a hand is told to hold it, and what it makes of
SLOW or MORE is hardly less. With 0.10 steady simulated hands were told twice as often."""
PACE_DOUBT = 0.30
"""The same for one second of flow: a hand that wanders by a fifth at 0.3 to 0.9 Hz leaves its mean
known to about half of this. It falls with the root of the time."""
WANDER_FROM_S: Seconds = 3.0
"""Least flow that tells an unsteady hand."""
TOO_LATE_S: Seconds = 1.2
"""So near to STOP a correction changes nothing any more."""
UNSTEADY = 0.9
"""Times the limit of unevenness from which STEADY is said while water runs: a little before it is
a fault, since what is said comes late and only the rest of the pour can be mended."""

_BASE: Mapping[Phase, Word] = {
    Phase.READY: Word.READY,
    Phase.POURING: Word.POUR,
    Phase.WAITING: Word.WAIT,
    Phase.DRAINING: Word.DRAIN,
    Phase.DONE: Word.DONE,
}
_WHILE_POURING = frozenset((Word.BLOOM, Word.POUR, Word.MORE, Word.SLOW, Word.STEADY, Word.STOP))
_NONE: Mapping[str, float] = {}


class Cues:
    """Chooses the word for every moment."""

    def __init__(self, stopping: Stopping, pacing: Pacing, uneven_cv: float) -> None:
        self._stopping = stopping
        self._pacing = pacing
        self._unsteady_cv = UNSTEADY * uneven_cv
        self._silences = Silences()
        self._last_s: Seconds = 0.0
        self._cue = Cue(Word.READY, 0.0)
        self._correction: Word | None = None
        self._correction_s: Seconds = 0.0
        self._calm_s: Seconds | None = None
        self._asked: Word | None = None
        self._asked_s: Seconds = 0.0
        self._stopped: Poured | None = None
        self._water_s: Seconds = -inf

    def feed(
        self,
        item: Input,
        estimate: Estimate,
        state: PourState,
        newest: Poured | None,
        watch: FlowWatch,
    ) -> Cue:
        """The cue in force after this input."""
        t_s = item.t_s
        silent_s = self._silences.feed(item)
        if estimate.pouring:
            self._water_s = t_s
        running = newest is not None and newest.stage.end_s is None
        due_s: Seconds | None = None
        since_s, basis = t_s, _NONE
        word = _BASE[state.phase]
        if state.phase is Phase.DONE:
            pass
        elif silent_s is not None:
            took_over = self._took_over(t_s)
            if took_over is not None and newest is not None and state.stage is not None:
                flow_gps = self._stopping.flow_gps(estimate, self._pacing.flow)
                self._stop(took_over, estimate, state.water_g, newest, state.stage, flow_gps)
            self._calm_down()
            word = Word.SCALE
            basis = {"silent_s": silent_s}
        elif state.phase is Phase.POURING and newest is not None:
            word, since_s, basis, due_s = self._pouring(
                t_s, estimate, state, newest, watch, running=running
            )
        elif self._may_run_on(t_s):
            took_over = self._took_over(t_s)
            word, since_s, basis = self._cue.word, t_s, self._cue.basis
            if took_over is not None:
                word, since_s, basis = Word.STOP, took_over, _NONE
        else:
            self._calm_down()
            wait_s = inf if state.countdown_s is None else state.countdown_s
            if state.phase is Phase.WAITING and wait_s <= self._stopping.answer_s:
                # Said ahead, so that the water comes when it is due.
                word = Word.POUR
        self._last_s = t_s
        if word is not self._cue.word:
            self._cue = Cue(word, since_s, basis, due_s)
        elif due_s != self._cue.stop_due_s:
            self._cue = Cue(word, self._cue.since_s, self._cue.basis, due_s)
        return self._cue

    def done(self, t_s: Seconds) -> Cue:
        """The cue once the input has ended."""
        if self._cue.word is not Word.DONE:
            self._cue = Cue(Word.DONE, t_s)
        return self._cue

    def _pouring(
        self,
        t_s: Seconds,
        estimate: Estimate,
        state: PourState,
        newest: Poured,
        watch: FlowWatch,
        *,
        running: bool,
    ) -> tuple[Word, Seconds, Mapping[str, float], Seconds | None]:
        plan, stage = state.plan, state.stage
        if plan is None:
            return Word.POUR, t_s, _NONE, None
        if stage is None:
            return Word.STOP, t_s, {"water_g": state.water_g}, None
        flow_gps = self._stopping.flow_gps(estimate, self._pacing.flow)
        due_s: Seconds | None = None
        if running:
            if self._is_stopped(newest):
                return Word.STOP, t_s, _NONE, None
            due_s = self._stopping.due_s(estimate, state.water_g, stage.to_g, flow_gps)
            took_over = self._took_over(t_s)
            if took_over is not None:
                due_s = took_over
            if due_s is not None and due_s <= t_s:
                at_s = max(due_s, self._last_s)
                basis = self._stop(at_s, estimate, state.water_g, newest, stage, flow_gps)
                return Word.STOP, at_s, basis, None
        left_s = inf if due_s is None else due_s - t_s
        asked = None
        if left_s > TOO_LATE_S and estimate.disturbance is None:
            asked = self._ask(state, stage, watch, left_s) if running else Word.MORE
        recent = self._pacing.answer
        self._weigh(t_s, asked, left_s, at_once=watch.surging)
        if self._correction is not None:
            basis = {
                "off_g": state.off_g or 0.0,
                "band_g": state.band_g or 0.0,
                "flow_gps": recent.mean_gps,
                "wander_cv": recent.cv,
            }
            return self._correction, self._correction_s, basis, due_s
        word = Word.BLOOM if newest.index == 0 and is_bloom(plan, 0) else Word.POUR
        return word, t_s, _NONE, due_s

    def _stop(
        self,
        at_s: Seconds,
        estimate: Estimate,
        water_g: Grams,
        newest: Poured,
        stage: Stage,
        flow_gps: GramsPerSecond,
    ) -> Mapping[str, float]:
        """Say STOP from ``at_s`` on; what it is based on."""
        self._stopped = newest
        self._stopping.say(Said(at_s, newest.index, stage.to_g, flow_gps))
        self._calm_down()
        return {
            "water_g": water_g,
            "mark_g": stage.to_g,
            "flow_gps": flow_gps,
            "flow_error_gps": estimate.flow_error_gps,
            "lead_s": self._stopping.reaction_s,
        }

    def _is_stopped(self, newest: Poured) -> bool:
        """Whether STOP was said to the pour that runs; it stays until the water stops."""
        said = self._stopped
        if said is None:
            return False
        same = said.index == newest.index and len(said.stage.pours) == len(newest.stage.pours)
        return same and said.first == newest.first

    def _took_over(self, t_s: Seconds) -> Seconds | None:
        """When STOP took over since the last input, if it did: what has been shown stays."""
        due_s = self._cue.stop_due_s
        return due_s if due_s is not None and due_s <= t_s else None

    def _may_run_on(self, t_s: Seconds) -> bool:
        """Whether the water has only just ended, if it has: a flow that drops all at once may look
        like its end for a moment.
        """
        return self._cue.word in _WHILE_POURING and t_s - self._water_s < LEAVE_S

    def _ask(
        self, state: PourState, stage: Stage, watch: FlowWatch, left_s: Seconds
    ) -> Word | None:
        """The correction that the moment asks for, by rank: too much cannot be undone, too little
        can.

        Another pace is asked for where this one would leave the band before STOP. Water that is
        ahead or behind already is not chased: the hand would have to overdo it and come back,
        and a pour of two paces is less even than one of a wrong pace.
        """
        leaves = self._leaves(state, stage, left_s)
        if watch.surging or leaves is Word.SLOW:
            return Word.SLOW
        recent = self._pacing.answer
        limit_cv = self._unsteady_cv * (INSIDE if self._correction is Word.STEADY else 1.0)
        if recent.lasted_s > WANDER_FROM_S and recent.cv > limit_cv:
            return Word.STEADY
        return Word.MORE if watch.stalled else leaves

    def _leaves(self, state: PourState, stage: Stage, left_s: Seconds) -> Word | None:
        """The word for a pace that leaves the band before STOP."""
        recent = self._pacing.answer
        if recent.lasted_s < PACE_FROM_S or state.off_g is None or state.band_g is None:
            return None
        off_gps = recent.mean_gps - stage.flow_gps
        least = max(PACE_OFF, PACE_DOUBT / sqrt(recent.lasted_s))
        if abs(off_gps) < least * stage.flow_gps:
            return None
        off_g = state.off_g + off_gps * left_s
        if abs(off_g) <= state.band_g or (off_g > 0.0) != (off_gps > 0.0):
            return None
        return Word.SLOW if off_gps > 0.0 else Word.MORE

    def _weigh(self, t_s: Seconds, asked: Word | None, left_s: Seconds, *, at_once: bool) -> None:
        """Let a correction in after a while, keep it a while, and let it go after a while.

        ``left_s``: until STOP. ``at_once``: its reason has lasted long enough already.
        """
        if asked is not self._asked:
            self._asked, self._asked_s = asked, t_s
        in_force = self._correction
        if asked is in_force:
            self._calm_s = None
            return
        if self._calm_s is None:
            self._calm_s = t_s
        if in_force is not None and t_s - self._correction_s < HOLD_S - ROUNDING_S:
            return
        if asked is not None:
            if at_once or t_s - self._asked_s >= ENTER_S:
                self._correction, self._correction_s, self._calm_s = asked, t_s, None
                if asked is not Word.STEADY:
                    self._pacing.told(t_s)
        elif t_s - self._calm_s >= LEAVE_S and left_s > GLANCE_S:
            self._correction = self._calm_s = None

    def _calm_down(self) -> None:
        self._correction = self._calm_s = self._asked = None
