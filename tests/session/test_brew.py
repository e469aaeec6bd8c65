"""A live brew: what it feeds, what it writes, and that it is never lost."""

import asyncio
import threading
import time
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Link, Mark, Note, Reading, Silence, Tare
from pourcoach.domain.pour import Ending, Phase
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from tests.patience import PATIENCE_S
from tests.session.fakes import FakeScale

STILL = [Reading(t_s=i / 10, grams=0.0) for i in range(1, 31)]


def session_on(scale: FakeScale, tape: TapeWriter | None = None, speed: float = 1.0) -> BrewSession:
    return BrewSession(scale, Clock(speed), tape=tape)


async def test_readings_go_to_the_tape_and_the_replay_agrees_to_the_last_bit(
    tmp_path: Path,
) -> None:
    path = tmp_path / "a.jsonl"
    live: list[Frame] = []
    readings = [Reading(t_s=0.1 * i + 0.00003, grams=round(0.31 * i, 1)) for i in range(200)]
    last = await session_on(FakeScale(readings), TapeWriter(path, TapeHeader())).run(live.append)
    assert live == list(frames(read_tape(path)))
    assert last == live[-1]


async def test_the_scale_is_freed_and_the_tape_closed_when_the_run_is_cancelled(
    tmp_path: Path,
) -> None:
    path = tmp_path / "a.jsonl"
    scale = FakeScale(STILL, ends=False)
    all_fed = asyncio.Event()

    def watch(frame: Frame) -> None:
        if frame.t_s == STILL[-1].t_s:
            all_fed.set()

    run = asyncio.create_task(session_on(scale, TapeWriter(path, TapeHeader())).run(watch))
    await all_fed.wait()
    run.cancel()
    with pytest.raises(asyncio.CancelledError):
        await run
    tape = read_tape(path)
    assert not scale.open
    assert (len(tape.inputs), tape.end_s) == (len(STILL), 3.0)


async def test_a_cancellation_that_comes_together_with_an_input_is_heeded() -> None:
    """asyncio.wait_for in Python 3.11 would swallow it."""
    session = session_on(FakeScale(STILL, ends=False))
    all_fed = asyncio.Event()

    def watch(frame: Frame) -> None:
        if frame.t_s == STILL[-1].t_s:
            all_fed.set()

    run = asyncio.create_task(session.run(watch))
    await all_fed.wait()
    await asyncio.sleep(0.05)
    session.mark()
    await asyncio.sleep(0)
    run.cancel()
    done, _ = await asyncio.wait([run], timeout=PATIENCE_S)
    assert done == {run}
    assert run.cancelled()


async def test_a_scale_that_fails_is_reported_and_the_tape_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    scale = FakeScale([*STILL, WorkError("the scale is gone")])
    with pytest.raises(WorkError, match="the scale is gone"):
        await session_on(scale, TapeWriter(path, TapeHeader())).run(lambda frame: None)
    assert read_tape(path).inputs == tuple(STILL)


async def test_silence_is_fed_while_no_reading_comes() -> None:
    session = session_on(FakeScale(STILL[:1], ends=False), speed=20.0)
    seen: list[Frame] = []

    def watch(frame: Frame) -> None:
        seen.append(frame)
        if len(seen) == 4:
            session.stop()

    await session.run(watch)
    assert seen[3].t_s > seen[2].t_s > seen[1].t_s > seen[0].t_s


async def test_a_held_up_loop_is_no_silence_of_the_scale(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    readings = [Reading(t_s=i / 10, grams=round(0.5 * i, 1)) for i in range(1, 21)]
    session = session_on(FakeScale(readings, paced_s=0.05), TapeWriter(path, TapeHeader()), 10.0)
    # 6 s on this clock, begun while a reading is waited for.
    asyncio.get_running_loop().call_later(0.12, time.sleep, 0.6)
    await session.run(lambda frame: None)
    assert read_tape(path).inputs == tuple(readings)


async def test_a_brew_is_kept_before_a_scale_that_is_slow_to_let_go(tmp_path: Path) -> None:
    """The screen waits for it only so long; then nobody would be left to keep the brew."""
    path = tmp_path / "a.jsonl"

    class SlowToLetGo(FakeScale):
        async def __aexit__(self, *exc_info: object) -> None:
            await asyncio.Event().wait()

    kept: list[tuple[Frame, float | None]] = []

    def keep(last: Frame) -> None:
        kept.append((last, read_tape(path).end_s))

    session = BrewSession(
        SlowToLetGo(STILL), Clock(), tape=TapeWriter(path, TapeHeader()), keep=keep
    )
    seen: list[Frame] = []
    run = asyncio.create_task(session.run(seen.append))
    await asyncio.wait({run}, timeout=0.5)
    assert not run.done()
    run.cancel()
    assert kept == [(seen[-1], 3.0)]
    assert session.newest is seen[-1]


async def test_what_keeps_a_brew_does_not_hold_the_loop() -> None:
    threads: list[threading.Thread] = []
    session = BrewSession(
        FakeScale(STILL), Clock(), keep=lambda last: threads.append(threading.current_thread())
    )
    await session.run(lambda frame: None)
    assert threads != [threading.main_thread()]
    assert len(threads) == 1


async def test_keys_go_on_the_tape_in_order(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    scale = FakeScale(STILL, ends=False, tares=True)
    session = session_on(scale, TapeWriter(path, TapeHeader()))
    session.tare()
    session.mark()
    session.note("kettle swapped")
    run = asyncio.create_task(session.run(lambda frame: None))
    await asyncio.sleep(0.05)
    session.stop()
    await run
    kinds = [item for item in read_tape(path).inputs if not isinstance(item, Reading | Silence)]
    assert [type(item) for item in kinds] == [Tare, Mark, Note]
    assert kinds[0].by_scale  # type: ignore[union-attr]


async def test_time_never_runs_backwards_on_the_tape(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    muddled = [Reading(0.2, 0.0), Reading(0.1, 0.0), Reading(0.3, 0.0)]
    await session_on(FakeScale(muddled), TapeWriter(path, TapeHeader())).run(lambda frame: None)
    assert [item.t_s for item in read_tape(path).inputs] == [0.2, 0.2, 0.3]


async def test_a_lost_scale_is_noticed_until_readings_come_again() -> None:
    notices: list[str | None] = []
    items = [STILL[0], Link(0.2, up=False, why="the cable is out"), Link(0.3, up=True), STILL[3]]
    session = session_on(FakeScale(items))
    await session.run(lambda frame: notices.append(session.notice))
    assert notices[:4] == [None, "the cable is out", None, None]


async def test_what_a_coarse_scale_is_known_for_stays_in_sight() -> None:
    notices: list[str | None] = []
    session = session_on(FakeScale([Link(0.05, up=True, why="it steps by 5 g"), *STILL[:2]]))
    await session.run(lambda frame: notices.append(session.notice))
    assert set(notices) == {"it steps by 5 g"}
    assert session.trouble is None


async def test_finish_by_key_can_be_taken_back_for_a_moment() -> None:
    session = session_on(FakeScale(STILL[:2], ends=False), speed=4.0)
    phases: list[Phase] = []

    def watch(frame: Frame) -> None:
        phases.append(frame.pour.phase)
        if len(phases) == 2:
            session.finish()
        elif len(phases) == 4:
            assert frame.pour.ending is Ending.KEY
            session.undo()
        elif len(phases) == 6:
            session.stop()

    await session.run(watch)
    assert phases[2:5] == [Phase.DONE, Phase.DONE, Phase.READY]


async def test_a_scale_that_never_pauses_lets_the_brew_be_ended() -> None:
    flood = [Reading(n / 1000, 0.0) for n in range(20_000)]
    session = BrewSession(FakeScale(flood), Clock())
    seen: list[Frame] = []

    def hear(frame: Frame) -> None:
        seen.append(frame)
        if len(seen) == 1:
            asyncio.get_running_loop().call_soon(session.stop)

    await session.run(hear)
    assert len(seen) < 1000


async def test_the_disk_takes_the_tape_as_stages_begin_and_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[int] = []
    taken: list[Frame] = []
    monkeypatch.setattr(TapeWriter, "sync", lambda _: synced.append(len(taken)))
    poured = [Reading(n / 10, 5.0 * min(max(0.0, n / 10 - 2.0), 6.0)) for n in range(200)]
    with TapeWriter(tmp_path / "a.jsonl", TapeHeader()) as tape:
        session = BrewSession(FakeScale(poured), Clock(), tape=tape)
        session.main()
        await session.run(taken.append)
    assert 2 <= len(synced) < 10
