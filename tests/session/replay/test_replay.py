"""A replay: the tape's own frames, whatever is done to its speed and place."""

import asyncio
from pathlib import Path

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Mark, Reading
from pourcoach.recordings.fold import final_frame, frames
from pourcoach.recordings.tape import Tape, TapeHeader, read_tape
from pourcoach.session.protocols import BrewControls, PlaybackControls, Session, Skip
from pourcoach.session.replay.replay import ReplaySession
from pourcoach.session.replay.skips import BEFORE_FINDING_S, BEFORE_STAGE_S, skip_to

RECORDINGS = Path(__file__).parents[3] / "recordings"

TAPE = Tape(
    TapeHeader(),
    tuple(Reading(t_s=i / 10, grams=round(0.2 * max(0, i - 30), 1)) for i in range(100)),
    end_s=10.0,
)


async def until_seen(seen: list[Frame], count: int) -> None:
    """Until so many are shown, and no more in the beats after: however busy the machine."""
    async with asyncio.timeout(20):
        while len(seen) < count:  # noqa: ASYNC110 - a plain list, which nobody sets an event by
            await asyncio.sleep(0.01)
    await asyncio.sleep(0.06)
    assert len(seen) == count


async def test_a_replay_gives_the_tapes_frames_to_the_last_bit() -> None:
    seen: list[Frame] = []
    last = await ReplaySession(TAPE, speed=200.0).run(seen.append)
    assert seen == list(frames(TAPE))
    assert last == seen[-1]


async def test_it_begins_where_it_is_asked_to() -> None:
    """What came before is shown at once, so that the curve is whole."""
    session = ReplaySession(TAPE, from_s=5.0)
    session.pause()
    assert 5.0 <= session.position_s < 6.0
    seen: list[Frame] = []
    run = asyncio.create_task(session.run(seen.append))
    due = sum(item.t_s <= session.position_s for item in TAPE.inputs)
    await until_seen(seen, due)
    session.stop()
    await run
    assert ReplaySession(TAPE, from_s=99.0).position_s == TAPE.last_s


async def test_pause_holds_the_place_and_step_takes_one_input() -> None:
    session = ReplaySession(TAPE)
    seen: list[Frame] = []
    session.pause()
    run = asyncio.create_task(session.run(seen.append))
    await until_seen(seen, 1)  # the reading at 0 s
    for count in (2, 3):
        session.step()
        await until_seen(seen, count)
        assert session.position_s == TAPE.inputs[count - 1].t_s
    session.stop()
    await run


async def test_seeking_back_gives_the_frame_of_that_moment_and_goes_on_from_there() -> None:
    session = ReplaySession(TAPE)
    seen: list[Frame] = []
    session.pause()
    run = asyncio.create_task(session.run(seen.append))
    paused_s = session.position_s
    session.seek(+5.0)
    await until_seen(seen, 51)
    assert (len(seen), session.position_s) == (51, paused_s + 5.0)
    session.seek(-3.0)
    await until_seen(seen, 52)
    assert seen[51:] == [list(frames(TAPE))[20]]
    session.step()
    await until_seen(seen, 53)
    assert seen[52:] == [list(frames(TAPE))[21]]
    session.stop()
    assert await run is seen[-1]


async def test_after_its_end_a_seek_back_lets_it_run_again() -> None:
    session = ReplaySession(TAPE, speed=200.0)
    seen: list[Frame] = []
    last = await session.run(seen.append)
    session.seek(-5.0)
    assert session.position_s < TAPE.last_s
    again: list[Frame] = []
    assert await session.run(again.append) == last
    count = len(again)
    assert count > 30
    assert again == seen[-count:]


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
    assert isinstance(session, PlaybackControls)
    assert not isinstance(session, BrewControls)


async def test_the_fold_runs_ahead_and_lets_the_loop_breathe() -> None:
    """A long tape is known to its end soon after it is opened, and nothing else has to wait."""
    tape = read_tape(RECORDINGS / "steady-80hz.jsonl.gz")
    session = ReplaySession(tape)
    folded = session._folded
    lengths: list[int] = []
    fold = folded.fold

    def counted() -> None:
        lengths[-1] += 1
        fold()

    folded.fold = counted  # type: ignore[method-assign]
    run = asyncio.create_task(session.run(lambda frame: None))
    while not folded.complete:
        lengths.append(0)
        await asyncio.sleep(0)
    session.stop()
    await run
    # An input each, and slices of what is left to refine after the last.
    assert len(folded.frames) == len(tape.inputs) < sum(lengths)
    # Never all at once, however quick the machine is.
    assert max(lengths) < len(tape.inputs) / 4
    assert folded.last == final_frame(tape)


async def test_skips_lead_to_stages_findings_and_the_ends_of_the_tape() -> None:
    tape = read_tape(RECORDINGS / "stall.jsonl")
    known = final_frame(tape)
    assert known is not None
    bloom_s, first_s, second_s = (stage.start_s for stage in known.pour.stages)
    (stall_s,) = {flag.start_s for flag in known.flags if flag.kind is FlagKind.STALL}
    session = ReplaySession(tape)
    session.pause()
    run = asyncio.create_task(session.run(lambda frame: None))
    for _ in range(2000):
        await asyncio.sleep(0.01)
        if session._folded.last is not None:
            break
    places = []
    for to in (*[Skip.NEXT_STAGE] * 4, *[Skip.STAGE_BEFORE] * 3, Skip.NEXT_FINDING, Skip.END):
        session.skip(to)
        places.append(session.position_s)
    session.skip(Skip.BEGINNING)
    assert session.position_s == 0.0
    stages = [start_s - BEFORE_STAGE_S for start_s in (bloom_s, first_s, second_s)]
    findings = sorted(flag.start_s - BEFORE_FINDING_S for flag in known.flags)
    assert places == [*stages, stages[-1], stages[1], stages[0], 0.0, findings[0], tape.last_s]
    assert stall_s - BEFORE_FINDING_S in findings
    assert session.brew_start_s == known.pour.brew_start_s
    session.stop()
    await run


def test_marks_and_notes_can_be_skipped_to_as_findings_can() -> None:
    known = final_frame(Tape(TapeHeader(), (*TAPE.inputs, Mark(9.95)), None))
    assert skip_to(Skip.NEXT_FINDING, known, 1.0, 10.0) == 9.95 - BEFORE_FINDING_S


def test_before_anything_is_known_a_skip_stays() -> None:
    assert skip_to(Skip.NEXT_STAGE, None, 4.0, 10.0) == 4.0
    assert skip_to(Skip.FINDING_BEFORE, None, 4.0, 10.0) == 0.0
