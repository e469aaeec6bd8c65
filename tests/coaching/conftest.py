"""A hand that pours exactly as asked, onto a quiet scale, through the whole pipeline."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random
from typing import Any, Self

import pytest

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.fall import USUAL_FALL
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, Reading, Silence, Tare
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline

STEP_S = 0.1
NOISE_G = 0.05
"""Standard deviation of a reading, as of a good load cell."""
SHAKE_G = 15.0


class Brew:
    """Feeds a Pipeline ten readings a second and keeps every Frame."""

    def __init__(self, plan: Plan | None, setup: Setup | None = None) -> None:
        self.pipeline = Pipeline(plan, setup or Setup())
        self.frames: list[Frame] = []
        self.t_s = 0.0
        self.mass_g = 0.0
        """Since the last tare key."""
        self._tared_g = 0.0
        self._running_s = 0.0
        self._rng = Random(1)

    def rest(self, lasts_s: float) -> Self:
        """Nothing comes in."""
        return self.pour(0.0, lasts_s)

    def pour(self, flow_gps: float, lasts_s: float) -> Self:
        """Water at one flow, counted as it leaves the spout.

        Nothing is weighed until the first of it has fallen; from then on its push weighs as much as
        what is in the air.
        """
        for _ in range(round(lasts_s / STEP_S)):
            self.mass_g += flow_gps * STEP_S
            self._running_s = self._running_s + STEP_S if flow_gps > 0.0 else 0.0
            falling = 0.0 < self._running_s < USUAL_FALL.time_s
            self._weigh(-flow_gps * self._running_s if falling else 0.0)
        return self

    def pour_to(self, to_g: float, flow_gps: float = 5.0) -> Self:
        """Water until so much has left the spout."""
        return self.pour(flow_gps, (to_g - self.mass_g) / flow_gps)

    def until(self, t_s: float) -> Self:
        """Rest up to a moment of the tape."""
        return self.rest(t_s - self.t_s)

    def silence(self, lasts_s: float) -> Self:
        """No reading comes; the fold is given the time instead."""
        for _ in range(round(lasts_s / STEP_S)):
            self._pass()
            self.feed(Silence(self.t_s))
        return self

    def jump(self, by_g: float) -> Self:
        """A vessel is set down or taken away, or what was taken away comes back: two readings."""
        self.mass_g += by_g
        self._weigh(-by_g / 2)
        self._weigh(0.0)
        return self

    def spike(self, off_g: float, flow_gps: float = 0.0) -> Self:
        """One reading far off, while water runs like this."""
        self.mass_g += flow_gps * STEP_S
        self._running_s = self._running_s + STEP_S if flow_gps > 0.0 else 0.0
        self._weigh(off_g)
        return self

    def touch(self, lasts_s: float) -> Self:
        """A hand shakes the platform, and no water comes in meanwhile."""
        for _ in range(round(lasts_s / STEP_S)):
            self._weigh(self._rng.uniform(-SHAKE_G, SHAKE_G))
        return self

    def key(self, item: Input) -> Self:
        """A key press at this moment."""
        if isinstance(item, Tare):
            self._tared_g += self.mass_g
            self.mass_g = 0.0
        self.feed(item)
        return self

    def feed(self, item: Input) -> Frame:
        frame = self.pipeline.feed(item)
        self.frames.append(frame)
        return frame

    def close(self) -> Frame:
        """The tape ends: all pours are refined."""
        frame = self.pipeline.finish(self.t_s)
        self.frames.append(frame)
        return frame

    @property
    def kinds(self) -> list[FlagKind]:
        """Of the flags in the newest Frame."""
        return [flag.kind for flag in self.frames[-1].flags]

    def _pass(self) -> None:
        self.t_s = round(self.t_s + STEP_S, 6)

    def _weigh(self, off_g: float) -> None:
        self._pass()
        noise_g = self._rng.gauss(0.0, NOISE_G)
        self.feed(Reading(self.t_s, self._tared_g + self.mass_g + off_g + noise_g))


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


def grams(expected: Any) -> Any:
    """So many, as near as the noise of the readings lets them be estimated."""
    return pytest.approx(expected, abs=2 * NOISE_G)


def seconds(expected: Any) -> Any:
    """So many, to the nearest reading and half of one."""
    return pytest.approx(expected, abs=1.5 * STEP_S)


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
