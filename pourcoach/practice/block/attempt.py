"""One pour of a drill, from the empty server to what is said of it.

Everything that a mode hides is hidden here and nowhere else: a screen, a text, a page and a sound
are made from the Glance, and a Glance holds no more than may be seen.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum

from pourcoach.domain.advice import Risk, RiskLevel
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Finish, Input, SelfEstimate, Shown, Sight
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, StagePour
from pourcoach.domain.units import Seconds
from pourcoach.practice.assignment import Assignment, Mode
from pourcoach.practice.block.made_pours import REST_S, made_pours, streams
from pourcoach.practice.block.result import Measuring, Result
from pourcoach.practice.block.water_curve import WaterCurve
from pourcoach.practice.drill.drill import FULL_SHARE

_NO_RISK = Risk(RiskLevel.LOW, ())
LATEST_S: Seconds = 8.0
"""After the stop, a result that is still without a figure waits no longer: how even a long pour
was takes some seconds to work out on a slow scale."""


class Step(Enum):
    """Where a pour stands."""

    READY = "ready"
    """No water yet."""
    POURING = "pouring"
    """From the first water until the last pour has come to rest."""
    ASKING = "asking"
    """The student says what they think they poured."""
    WAITING = "waiting"
    """The result is not due yet."""
    SHOWN = "shown"
    """The result may be seen."""
    OVER = "over"
    """There is no result to be seen: none is due in this pour, or nothing was poured."""


@dataclass(frozen=True, slots=True)
class Glance:
    """What may be seen at one moment."""

    t_s: Seconds
    step: Step
    frame: Frame | None = None
    """Weight, flow, curve and cues; None where they are hidden. Before the first water they show
    that the scale is ready."""
    time_s: Seconds | None = None
    """Since the first water; None before it, afterwards and where the drill hides it."""
    server_full: bool = False
    """Stop, whatever the task: the server is nearly full. Never hidden."""
    result: Result | None = None


class Attempt:
    """Takes each input with its Frame. Equal inputs give equal Glances.

    The moment of a result, and each help, are inputs: ``due`` says what is to be shown now, and it
    is seen once that has come back as an input.
    """

    def __init__(self, assignment: Assignment, plan: Plan) -> None:
        self.assignment = assignment
        self.plan = plan
        self.result: Result | None = None
        """Known once all has come to rest; for records, not for the student."""
        self._expected = len(streams(plan))
        self._curve = WaterCurve()
        self._step = Step.READY
        self._finished = False
        self._shown: set[Sight] = set()
        self._full = False
        self._poured_all = False
        self._estimate: float | None = None
        self._counted = 0
        """Pours that belong to the drill; what is poured away afterwards does not."""
        self._stages: tuple[StagePour, ...] = ()

    @property
    def step(self) -> Step:
        return self._step

    @property
    def due_after_s(self) -> Seconds | None:
        """The moment before which no result may be seen; None until all has come to rest."""
        stopped_s = None if self.result is None else self.result.stopped_s
        return None if stopped_s is None else stopped_s + self.assignment.place.delay_s

    def feed(self, item: Input, frame: Frame) -> Glance:
        """Take the next input."""
        match item:
            case Finish():
                self._finished = True
            case SelfEstimate() if self._step is Step.ASKING:
                self._estimated(item.value)
            case Shown():
                self._see(item)
        if self._step in (Step.READY, Step.POURING):
            self._pour(item, frame)
        elif self._step is not Step.SHOWN:
            self._measure(frame)
        return self._glance(frame)

    def close(self, last: Frame) -> None:
        """The input has ended: what was not shown is refined, for the record."""
        if self._step in (Step.ASKING, Step.WAITING, Step.OVER):
            self._measure(last)

    def due(self, t_s: Seconds) -> Sight | None:
        """What is to be shown at this moment and has not been."""
        place = self.assignment.place
        if self._full and Sight.SERVER_FULL not in self._shown:
            return Sight.SERVER_FULL
        if place.live_help and Sight.HELP not in self._shown and self._step is Step.READY:
            return Sight.HELP
        if self._step is Step.WAITING and self._may_show_result(t_s):
            return Sight.RESULT
        return None

    def _may_show_result(self, t_s: Seconds) -> bool:
        due_s, result = self.due_after_s, self.result
        if due_s is None or result is None or t_s < due_s:
            return False
        return result.complete or t_s >= due_s - self.assignment.place.delay_s + LATEST_S

    def _see(self, item: Shown) -> None:
        if item.what is Sight.RESULT:
            if self._step is not Step.WAITING or not self._may_show_result(item.t_s):
                return
            self._step = Step.SHOWN
        self._shown.add(item.what)

    def _pour(self, item: Input, frame: Frame) -> None:
        self._full = self._full or (frame.pour.water_g >= FULL_SHARE * self.assignment.server_ml)
        made = made_pours(frame)
        self._counted = len(made)
        if made:
            self._step = Step.POURING
            self._curve.append(frame.estimate.t_s, frame.pour.water_g)
        elif self._finished:
            # Asked to end before any water: there is nothing to judge.
            self._step = Step.OVER
            return
        else:
            return
        end_s = made[-1].end_s
        enough = len(made) >= self._expected or self._finished or frame.pour.phase is Phase.DONE
        self._poured_all = enough and end_s is not None
        if end_s is None or not enough or item.t_s - end_s < REST_S:
            return
        self._measure(frame)
        assist = self.assignment.mode is Mode.ASSIST
        self._step = Step.WAITING if assist else Step.ASKING

    def _measure(self, frame: Frame) -> None:
        """Anew, wherever hindsight has replaced a pour, until the result has been seen."""
        stages = frame.pour.stages
        if stages is self._stages:
            return
        self._stages = stages
        made = made_pours(frame)
        if not made or made[-1].end_s is None:
            return
        assignment = self.assignment
        result = Measuring(self.plan, made[: self._counted], self._curve).result(
            assignment.judged, assignment.asks, assignment.level
        )
        self.result = replace(result, estimate=self._estimate)

    def _estimated(self, value: float) -> None:
        self._estimate = value
        if self.result is not None:
            self.result = replace(self.result, estimate=value)
        self._step = Step.WAITING if self.assignment.place.result else Step.OVER

    def _glance(self, frame: Frame) -> Glance:
        pouring = self._step is Step.POURING
        helped = pouring and Sight.HELP in self._shown
        return Glance(
            frame.t_s,
            self._step,
            self._visible(frame),
            frame.pour.brew_s if pouring and (helped or self.assignment.clock) else None,
            server_full=pouring and Sight.SERVER_FULL in self._shown,
            result=self.result if self._step is Step.SHOWN else None,
        )

    def _visible(self, frame: Frame) -> Frame | None:
        """The Frame as far as it may be seen."""
        if self._step is Step.READY:
            # What is not yet known to be water would be seen as it comes.
            return None if frame.estimate.pouring else frame
        if self._step is not Step.POURING or Sight.HELP not in self._shown:
            return None
        if self.assignment.mode is Mode.ASSIST:
            return frame
        # A flag is a result that comes at once, and so is the weight after the last pour.
        return None if self._poured_all else frame._replace(flags=(), risk=_NO_RISK)


OnGlance = Callable[[Glance], None]
"""Called with every Glance, in order."""
