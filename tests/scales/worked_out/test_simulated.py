import asyncio
import time
from collections.abc import Callable

import pytest

from pourcoach.domain.advice import Word, usual_cue
from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan, Stage
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.worked_out.simulated import SimulatedScale
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import ScaleModel

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))


def running_at(speed: float) -> Callable[[], float]:
    began = time.perf_counter()
    return lambda: (time.perf_counter() - began) * speed


def scale_at(text: str, speed: float = 1.0) -> SimulatedScale:
    return SimulatedScale(ScaleAddress.parse(text), running_at(speed), PLAN)


async def first(scale: SimulatedScale, count: int) -> list[Reading]:
    readings: list[Reading] = []
    async with scale:
        async for item in scale:
            assert isinstance(item, Reading)
            readings.append(item)
            if len(readings) == count:
                break
    return readings


async def test_readings_are_those_of_the_brew_whatever_the_speed() -> None:
    scale = scale_at("sim:stalling?seed=3&rate=80&resolution=0.01&noise=0.02&speed=60", 60)
    readings = await first(scale, 1500)
    model = ScaleModel(rate_hz=80, resolution_g=0.01, noise_g=0.02)
    whole = SimulatedBrew(PLAN, "stalling", 3, model).advance_to(30.0)
    assert readings == whole[:1500]


async def test_readings_come_when_they_are_due() -> None:
    now = running_at(10)
    scale = SimulatedScale(ScaleAddress.parse("sim:steady?rate=20&speed=10"), now, PLAN)
    async for item in scale:
        assert now() >= item.t_s
        if item.t_s > 3:
            break


async def test_between_readings_it_sleeps() -> None:
    asked = 0
    running = running_at(1)

    def now() -> float:
        nonlocal asked
        asked += 1
        return running()

    await first(SimulatedScale(ScaleAddress.parse("sim:steady?rate=10"), now, PLAN), 4)
    assert asked < 30  # it looks at the clock a few times a reading, not all the time


async def test_tare_makes_what_it_shows_the_zero() -> None:
    scale = scale_at("sim:steady?seed=2&speed=60", 60)
    untared = SimulatedBrew(PLAN, "steady", 2).advance_to(60.0)
    seen: list[Reading] = []
    async for item in scale:
        assert isinstance(item, Reading)
        seen.append(item)
        if len(seen) == 120:
            assert await scale.tare()
        if len(seen) == 130:
            break
    zero_g = untared[119].grams
    assert zero_g > 10
    assert seen[:120] == untared[:120]
    assert [r.grams for r in seen[120:]] == [
        pytest.approx(r.grams - zero_g, abs=1e-6) for r in untared[120:130]
    ]


async def test_vessels_can_be_tared_away_before_the_first_water() -> None:
    scale = scale_at("sim:steady?seed=2&untared=612&speed=60", 60)
    before_g: float | None = None
    async for item in scale:
        assert isinstance(item, Reading)
        if before_g is None:
            before_g = item.grams
            assert await scale.tare()
        elif item.t_s > 1:
            assert before_g == pytest.approx(612, abs=0.3)
            assert item.grams == pytest.approx(0, abs=0.3)
            break


async def test_without_a_plan_the_hand_follows_the_usual_one() -> None:
    scale = SimulatedScale(ScaleAddress.parse("sim:steady?speed=60"), running_at(60))
    readings = await first(scale, 300)
    assert readings[-1].grams > 20


async def test_a_hand_that_listens_stops_on_cue() -> None:
    end_g = {}
    for listens in ("yes", "no"):
        scale = scale_at(f"sim:steady?seed=2&listens={listens}&speed=60", 60)
        async for item in scale:
            assert isinstance(item, Reading)
            if item.grams > 8:
                scale.hear(usual_cue(Word.STOP, 1.0), item.t_s)
            if item.t_s > 14:
                end_g[listens] = item.grams
                break
    assert 8 < end_g["yes"] < 14
    assert end_g["no"] > 18


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("sim:robot", "no hand is called 'robot'"),
        ("sim:steady?rat=3", "unknown option 'rat'"),
        ("sim:steady?rate=1000", "the simulated scale's rate_hz is 1000"),
        ("sim:steady?seed=x", "seed=x"),
        ("sim:steady?model=gold", "no simulated scale is called 'gold'; there are kitchen"),
        ("sim:steady?listens=perhaps", "neither yes nor no"),
        ("sim:steady?arrangement=upside", "use brewer-on-scale or server-on-scale"),
    ],
)
def test_a_wrong_option_is_reported_in_a_sentence(text: str, complaint: str) -> None:
    with pytest.raises(UsageError, match=complaint):
        scale_at(text)


async def test_a_reader_that_leaves_in_the_middle_can_be_cancelled() -> None:
    scale = scale_at("sim:steady")
    task = asyncio.create_task(first(scale, 10_000))
    await asyncio.sleep(0.05)
    task.cancel()
    with pytest.raises(asyncio.CancelledError):
        await task


async def test_a_clock_it_cannot_keep_up_with_leaves_the_loop_its_turn() -> None:
    """Or nobody would hear Ctrl+C: no stride is longer than the world can be worked out in."""
    scale = SimulatedScale(ScaleAddress.parse("sim:steady?speed=100"), running_at(1e7), PLAN)
    turns = 0

    async def take_turns() -> None:
        nonlocal turns
        while True:
            turns += 1
            await asyncio.sleep(0)

    taking = asyncio.create_task(take_turns())
    async with asyncio.timeout(60):
        readings = await first(scale, 100)
    taking.cancel()
    assert readings[-1].t_s == pytest.approx(10.0, abs=0.3)
    assert turns >= 8
