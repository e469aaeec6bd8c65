"""A replay: the tape's own frames, whatever is done to its speed and place."""

import asyncio

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import Tape, TapeHeader
from pourcoach.session.protocols import Hands, Session, Transport
from pourcoach.session.replay import ReplaySession

TAPE = Tape(
    TapeHeader(),
    tuple(Reading(t_s=i / 10, grams=round(0.2 * max(0, i - 30), 1)) for i in range(100)),
    end_s=10.0,
)


async def test_a_replay_gives_the_tapes_frames_to_the_last_bit() -> None:
    seen: list[Frame] = []
    last = await ReplaySession(TAPE, speed=200.0).run(seen.append)
    assert seen == list(frames(TAPE))
    assert last == seen[-1]


async def test_pause_holds_the_place_and_step_takes_one_input() -> None:
    session = ReplaySession(TAPE)
    seen: list[Frame] = []
    session.pause()
    run = asyncio.create_task(session.run(seen.append))
    await asyncio.sleep(0.06)
    assert len(seen) == 1  # the reading at 0 s
    for count in (2, 3):
        session.step()
        await asyncio.sleep(0.06)
        assert len(seen) == count
        assert session.position_s == TAPE.inputs[count - 1].t_s
    session.stop()
    await run


async def test_seeking_back_starts_the_frames_anew() -> None:
    session = ReplaySession(TAPE)
    seen: list[Frame] = []
    session.pause()
    run = asyncio.create_task(session.run(seen.append))
    paused_s = session.position_s
    session.seek(+5.0)
    await asyncio.sleep(0.06)
    assert (len(seen), session.position_s) == (51, paused_s + 5.0)
    session.seek(-3.0)
    await asyncio.sleep(0.06)
    assert seen[51:] == list(frames(TAPE))[:21]
    session.stop()
    await run


async def test_after_its_end_a_seek_back_lets_it_run_again() -> None:
    session = ReplaySession(TAPE, speed=200.0)
    seen: list[Frame] = []
    last = await session.run(seen.append)
    session.seek(-5.0)
    assert session.position_s < TAPE.last_s
    again: list[Frame] = []
    assert await session.run(again.append) == last
    assert again == seen


def test_seeking_stays_on_the_tape() -> None:
    session = ReplaySession(TAPE)
    session.pause()
    session.seek(-100.0)
    assert session.position_s == 0.0
    session.seek(+100.0)
    assert session.position_s == TAPE.last_s


def test_speed_goes_in_steps_and_stays_in_bounds() -> None:
    session = ReplaySession(TAPE)
    session.faster()
    assert session.speed == 2.0
    for _ in range(10):
        session.slower()
    assert session.speed == 0.25
    for _ in range(10):
        session.faster()
    assert session.speed == 16.0


def test_a_replay_has_a_transport_and_no_hands() -> None:
    session: Session = ReplaySession(TAPE)
    assert isinstance(session, Transport)
    assert not isinstance(session, Hands)
