"""The main action of a live brew: it ends none by accident, and the end can be taken back."""

import asyncio

import pytest

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Begin, Input, Reading
from pourcoach.domain.pour import Ending, Phase, Question
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from tests.session.fakes import FakeScale
from tests.three_pours import PLAN


class HandClock(Clock):
    """Stands still until it is moved."""

    def __init__(self) -> None:
        super().__init__()
        self.now_s = 0.0

    def now(self) -> float:
        return self.now_s


STILL = [Reading(i / 10, 0.0) for i in range(1, 31)]
RISE = [Reading(3.0 + i / 10, round(0.5 * i, 1)) for i in range(1, 81)]
POURING = [*STILL, *RISE[:60]]
WAITING = [*STILL, *RISE, *(Reading(11.0 + i / 10, 40.0) for i in range(1, 81))]


class Brew:
    """A session that has taken ``readings`` and waits for what comes next."""

    def __init__(self, readings: list[Reading]) -> None:
        self.clock = HandClock()
        self.session = BrewSession(FakeScale(readings, ends=False), self.clock, PLAN)
        self._count = len(readings)
        self._seen = 0

    async def __aenter__(self) -> "Brew":
        fed = asyncio.Event()

        def watch(_frame: Frame) -> None:
            self._seen += 1
            if self._seen == self._count:
                fed.set()

        self._run = asyncio.create_task(self.session.run(watch))
        await fed.wait()
        assert self.session.newest is not None
        self.clock.now_s = self.session.newest.t_s
        return self

    async def __aexit__(self, *_: object) -> None:
        self.session.stop()
        await self._run

    async def press(self, *gaps_s: float) -> None:
        """The main key, after each of these gaps."""
        for gap_s in gaps_s:
            self.clock.now_s += gap_s
            self.session.main()
            await asyncio.sleep(0.01)

    @property
    def phase(self) -> Phase:
        assert self.session.newest is not None
        return self.session.newest.pour.phase


@pytest.mark.parametrize(
    ("readings", "phase"), [(POURING, Phase.POURING), (WAITING, Phase.WAITING)]
)
async def test_one_press_ends_no_brew_whose_water_runs_or_is_to_come(
    readings: list[Reading], phase: Phase
) -> None:
    async with Brew(readings) as brew:
        assert brew.phase is phase
        await brew.press(0.1)
        assert (brew.phase, brew.session.finish_asked) == (phase, True)
        brew.clock.now_s += 1.05
        assert not brew.session.finish_asked
        await brew.press(0.0, 1.1, 1.1)
        assert brew.phase is phase


@pytest.mark.parametrize("readings", [POURING, WAITING])
async def test_two_presses_within_a_second_end_it_and_undo_takes_that_back(
    readings: list[Reading],
) -> None:
    async with Brew(readings) as brew:
        before = brew.phase
        await brew.press(0.1, 0.9)
        assert brew.phase is Phase.DONE
        assert brew.session.newest is not None
        assert brew.session.newest.pour.ending is Ending.KEY
        assert brew.session.undo_left_s == pytest.approx(5.0)
        brew.clock.now_s += 4.0
        assert brew.session.undo_left_s == pytest.approx(1.0)
        brew.session.undo()
        await asyncio.sleep(0.01)
        assert (brew.phase, brew.session.undo_left_s) == (before, 0.0)


async def test_more_presses_do_not_cut_the_time_to_take_it_back() -> None:
    async with Brew(WAITING) as brew:
        await brew.press(0.1, 0.1, 0.1, 0.1, 0.1)
        assert brew.session.undo_left_s == pytest.approx(5.0 - 0.3)


async def test_while_ready_the_main_action_begins() -> None:
    seen: list[Input] = []
    async with Brew(STILL) as brew:
        put = brew.session._inbox.put
        brew.session._inbox.put = lambda item: (seen.append(item(0.0)), put(item))  # type: ignore[method-assign,operator]
        await brew.press(0.1)
        brew.session._inbox.put = put  # type: ignore[method-assign]
    assert [type(item) for item in seen] == [Begin]


async def test_while_a_gain_is_asked_about_the_main_action_counts_it() -> None:
    """A link that was down for 4 s, and 60 g more afterwards."""
    lost = [*WAITING, *(Reading(23.0 + i / 10, 100.0) for i in range(1, 31))]
    async with Brew(lost) as brew:
        newest = brew.session.newest
        assert newest is not None
        assert newest.pour.question is Question.GAIN
        await brew.press(0.1)
        newest = brew.session.newest
        assert newest is not None
        assert (newest.pour.question, brew.session.finish_asked) == (None, False)
        assert newest.pour.water_g == pytest.approx(100.0, abs=0.2)
