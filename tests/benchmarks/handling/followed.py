"""A handled brew through a live session, with the clock moved by hand."""

import asyncio
from collections.abc import AsyncIterator, Iterator
from dataclasses import dataclass
from math import inf

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.pour import Ending, Question
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.worked_out.modelled import ModelledScale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.simulation.brew import SimulatedBrew
from tests.benchmarks.handling.cases import AGAIN_S, TAKEN_BACK_S, Act, Handled

ANSWERS_S: Seconds = 2.0
"""How long a person takes to read a question and to answer it."""
AFTER_S: Seconds = 12.0
"""Readings go on so long after the rest: the brewer is lifted off in it."""


@dataclass(frozen=True)
class Followed:
    """What came of one brew."""

    last: Frame
    brew: SimulatedBrew
    asked: tuple[Question, ...]
    """All questions until the brewer was taken off to serve."""

    @property
    def water_off_g(self) -> Grams:
        """Reported less true."""
        return self.last.pour.water_g - self.brew.truth.poured[-1]

    @property
    def ended_unasked(self) -> bool:
        """Whether the program ended the brew before its last water had come."""
        state = self.last.pour
        if state.ending is Ending.TAPE:
            return False
        return state.end_s is None or state.end_s < self.brew.truth.pours[-1].end_s


class _HandClock(Clock):
    """Stands still until it is moved."""

    def __init__(self) -> None:
        super().__init__()
        self.now_s: Seconds = 0.0

    def now(self) -> Seconds:
        return self.now_s


class _Bench(ModelledScale):
    """The simulated scale, which moves the clock and presses the keys between its readings."""

    def __init__(self, handled: Handled) -> None:
        case = handled.case
        self.clock = _HandClock()
        super().__init__(ScaleAddress.parse("sim:steady"), self.clock.now)
        self.brew = SimulatedBrew(case.plan, case.hand, case.seed, case.scale, faults=case.faults)
        self.session = BrewSession(self, self.clock, case.plan)
        self._tares = handled.scale_tares
        self._acts = list(_acts(handled, self.brew.truth.first_water_s))
        self.asked: list[Question] = []
        self._question: Question | None = None
        """What is asked now, since ``_asked_s``, which is infinite once it is answered."""
        self._asked_s: Seconds = inf
        self.seen = asyncio.Event()
        """Set by each Frame."""

    async def tare(self) -> bool:
        return self._tares and await super().tare()

    def _answer(self, t_s: Seconds) -> None:
        """Answer as a person who knows what was done, once the question has stood for a while."""
        newest, lifts = self.session.newest, self.brew.truth.lifts
        question = None if newest is None else newest.pour.question
        if question is None or t_s > lifts[-1][0]:
            self._question = None
            return
        if question is not self._question:
            self._question, self._asked_s = question, t_s
            self.asked.append(question)
        if t_s - self._asked_s < ANSWERS_S:
            return
        self._asked_s = inf
        lifted = any(from_s <= t_s < to_s for from_s, to_s in lifts)
        if question is Question.LIFT_OR_TARE and not lifted:
            self.session.tare()
        elif question in (Question.GAIN, Question.LOST, Question.UNTARED_WATER):
            # Nothing is set down in these brews but the brewer itself, and no hand presses.
            self.session.main()

    def _do(self, act: str) -> None:
        if act == Act.OWN_TARE.value:
            self._zero_g = self._newest_g
        else:
            getattr(self.session, act)()

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        readings = self.brew.run()
        readings += self.brew.advance_to(readings[-1].t_s + AFTER_S)
        for reading in readings:
            while self._acts and self._acts[0][0] <= reading.t_s:
                t_s, act = self._acts.pop(0)
                self.clock.now_s = t_s
                self._do(act)
            self.clock.now_s = reading.t_s
            self._answer(reading.t_s)
            yield self._tared(reading)
            # The clock must not run ahead of what the session has seen.
            while (newest := self.session.newest) is None or newest.t_s < round(reading.t_s, 4):
                self.seen.clear()
                await self.seen.wait()


def _acts(handled: Handled, first_water_s: Seconds) -> Iterator[tuple[Seconds, str]]:
    """What is called on the session, and when."""
    for press in handled.presses:
        t_s = max(first_water_s + press.brew_s, 0.0)
        match press.act:
            case Act.CLICK:
                yield t_s, "main"
            case Act.END_AND_BACK:
                yield t_s, "main"
                yield t_s + AGAIN_S, "main"
                yield t_s + TAKEN_BACK_S, "undo"
            case act:
                yield t_s, act.value


async def follow(handled: Handled) -> Followed:
    """Run one brew to its end."""
    bench = _Bench(handled)
    last = await bench.session.run(lambda _: bench.seen.set())
    assert last is not None
    return Followed(last, bench.brew, tuple(bench.asked))
