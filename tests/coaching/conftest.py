"""A hand that pours exactly as told, and the perfect estimates of it."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from pourcoach.coaching.coach import Coach
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.estimate import (
    Disturbance,
    Estimate,
    EventKind,
    PlatformEvent,
    ScaleTraits,
    Settled,
)
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Finish, Input, Mark, Reading, Silence, Tare
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Pour
from pourcoach.domain.setup import Setup
from pourcoach.estimation.platform.undo import UndoHistory

STEP_S = 0.1
LAG_S = 0.2
REFINED_AFTER_S = 1.5


class Brew:
    """Feeds a Coach step by step and keeps every Frame."""

    def __init__(self, plan: Plan | None, setup: Setup | None = None) -> None:
        self.coach = Coach(plan, setup or Setup())
        self.frames: list[Frame] = []
        self.flow_cv: float | None = 0.08
        self.t_s = 0.0
        self.mass_g = 0.0
        self._pours: list[Pour] = []
        self._flows: list[float] = []
        self.booked_g = 0.0
        self._events: tuple[PlatformEvent, ...] = ()
        self._undo = UndoHistory()
        self._taken_back: Tare | Mark | Finish | None = None
        self._tares: list[float] = []
        self._disturbance: Disturbance | None = None

    def rest(self, lasts_s: float) -> "Brew":
        """Nothing comes in."""
        return self.pour(0.0, lasts_s)

    def pour(self, flow_gps: float, lasts_s: float) -> "Brew":
        """Water at one flow."""
        for _ in range(round(lasts_s / STEP_S)):
            self.t_s = round(self.t_s + STEP_S, 6)
            self._flow(flow_gps)
            self.tell(Reading(self.t_s, self.mass_g))
        return self

    def pour_to(self, to_g: float, flow_gps: float = 5.0) -> "Brew":
        """Water until the weight says so."""
        return self.pour(flow_gps, (to_g - self.mass_g) / flow_gps)

    def found(self, start_s: float, start_g: float) -> "Brew":
        """Water that has been running since then is seen only now."""
        self._pours.append(Pour(start_s, start_g))
        return self

    def until(self, t_s: float) -> "Brew":
        """Rest up to a moment of the tape."""
        return self.rest(t_s - self.t_s)

    def silence(self, lasts_s: float) -> "Brew":
        """No reading comes; the fold is told so."""
        for _ in range(round(lasts_s / STEP_S)):
            self.t_s = round(self.t_s + STEP_S, 6)
            self.tell(Silence(self.t_s))
        return self

    def jump(self, by_g: float, probability: float = 1.0) -> "Brew":
        """A vessel is set down or taken away, or what was taken away comes back."""
        self.t_s = round(self.t_s + STEP_S, 6)
        self.mass_g += by_g
        self.booked_g -= by_g
        kind = EventKind.PLACED if by_g > 0 else EventKind.LIFTED
        self._events = (
            *self._events,
            PlatformEvent(kind, self.t_s, self.t_s, by_g, 0.3, probability),
        )
        self._disturbance = Disturbance.PLACED if by_g > 0 else Disturbance.LIFTED
        self.tell(Reading(self.t_s, self.mass_g))
        self._disturbance = None
        return self

    def touch(self, lasts_s: float) -> "Brew":
        """Something touches the platform, and no water is seen meanwhile."""
        self._disturbance = Disturbance.KNOCK
        self.rest(lasts_s)
        self._disturbance = None
        return self

    def tare(self, item: Input) -> "Brew":
        """The tare key."""
        return self.key(item)

    def key(self, item: Input) -> "Brew":
        """A key press at this moment; the estimator takes off what a tare takes off."""
        if isinstance(item, Tare):
            self._tares.append(self.mass_g)
            self.booked_g += self.mass_g
            self.mass_g = 0.0
        self._taken_back = self._undo.feed(item)
        if isinstance(self._taken_back, Tare):
            shown_g = self._tares.pop()
            self.booked_g -= shown_g
            self.mass_g += shown_g
        self.tell(item)
        self._taken_back = None
        return self

    def tell(self, item: Input) -> Frame:
        frame = self.coach.feed(item, self._estimate())
        self.frames.append(frame)
        return frame

    def close(self) -> Frame:
        """The tape ends: all pours are refined."""
        if self._pours and self._pours[-1].end_s is None:
            self._end()
        self._pours = [replace(pour, refined=True, flow_cv=self.flow_cv) for pour in self._pours]
        frame = self.coach.close(self._estimate())
        self.frames.append(frame)
        return frame

    @property
    def kinds(self) -> list[FlagKind]:
        """Of the flags in the newest Frame."""
        return [flag.kind for flag in self.frames[-1].flags]

    def _flow(self, flow_gps: float) -> None:
        before_g = self.mass_g + self.booked_g
        self.mass_g += flow_gps * STEP_S
        self._flows.append(flow_gps)
        running = bool(self._pours) and self._pours[-1].end_s is None
        if flow_gps > 0.0 and not running:
            self._pours.append(Pour(self.t_s - STEP_S, before_g))
        elif flow_gps == 0.0 and running:
            self._end()
        if self._pours and not self._pours[-1].refined:
            pour = self._pours[-1]
            if pour.end_s is not None and self.t_s - pour.end_s > REFINED_AFTER_S:
                self._refine(-1)
        if len(self._pours) > 1 and not self._pours[-2].refined:
            self._refine(-2)

    def _refine(self, place: int) -> None:
        pour = self._pours[place]
        self._pours[place] = replace(pour, refined=True, flow_cv=self.flow_cv, flow_cv_error=0.01)

    def _end(self) -> None:
        pour = self._pours[-1]
        end_s = self.t_s - STEP_S
        end_g = self.mass_g + self.booked_g
        mean_gps = (end_g - pour.start_g) / (end_s - pour.start_s)
        self._pours[-1] = replace(pour, end_s=end_s, end_g=end_g, mean_flow_gps=mean_gps)

    def _estimate(self) -> Estimate:
        lag = round(LAG_S / STEP_S)
        settled = None
        if len(self._flows) > lag:
            settled = Settled(self.t_s - LAG_S, self.mass_g, self._flows[-1 - lag], 0.05)
        flow_gps = self._flows[-1] if self._flows else 0.0
        return Estimate(
            t_s=self.t_s,
            mass_g=self.mass_g,
            mass_error_g=0.02,
            flow_gps=flow_gps,
            flow_error_gps=0.1,
            pouring=bool(self._pours) and self._pours[-1].end_s is None,
            pour_probability=1.0 if flow_gps else 0.0,
            settled=settled,
            disturbance=self._disturbance,
            pours=tuple(self._pours),
            traits=ScaleTraits(),
            events=self._events,
            booked_g=self.booked_g,
            taken_back=self._taken_back,
        )


@pytest.fixture
def plan() -> Plan:
    """Bloom 40 g, two pours of 100 and 180 g in all."""
    return three_stages()


def three_stages(**changes: object) -> Plan:
    stages = (
        Stage("bloom", 0.0, 40.0, 5.0),
        Stage("pour 1", 30.0, 140.0, 5.0),
        Stage("pour 2", 70.0, 240.0, 5.0),
    )
    whole = Plan(
        dose_g=15.0, ratio=16.0, water_g=240.0, bloom_s=30.0, finish_s=150.0, stages=stages
    )
    return replace(whole, **changes)  # type: ignore[arg-type]


@pytest.fixture
def brew(plan: Plan) -> Brew:
    """Armed and at rest for two seconds, with the plan of three stages."""
    return Brew(plan).rest(2.0)


@pytest.fixture
def new_brew() -> Callable[..., Brew]:
    """A brew with another plan or setup, at rest for two seconds."""

    def start(plan: Plan | None, setup: Setup | None = None) -> Brew:
        return Brew(plan, setup).rest(2.0)

    return start


def words(frames: Sequence[Frame]) -> list[str]:
    """The cues in order, each once as it came."""
    said: list[str] = []
    for frame in frames:
        if not said or said[-1] != frame.cue.word.value:
            said.append(frame.cue.word.value)
    return said


@pytest.fixture
def words_of() -> Callable[[Sequence[Frame]], list[str]]:
    """The cues of some frames in order, each once as it came."""
    return words
