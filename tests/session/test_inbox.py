"""What waits for the fold: in order, with room, and for how long."""

import asyncio

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.session import inbox
from pourcoach.session.inbox import BEATS, MOST_WAITING, Inbox

WAIT_S = 0.05


def reading(number: int) -> Reading:
    return Reading(number / 80, float(number))


async def test_what_comes_first_is_taken_first() -> None:
    box = Inbox()
    await box.bring(reading(1))
    box.put(None)
    await box.bring(reading(2))
    assert [await box.take(WAIT_S) for _ in range(3)] == [reading(1), None, reading(2)]


async def test_what_comes_while_it_is_waited_for_is_taken() -> None:
    box = Inbox()
    taking = asyncio.create_task(box.take(60.0))
    await asyncio.sleep(0)
    await box.bring(reading(1))
    assert await taking == reading(1)


async def test_silence_lasts_as_long_as_was_asked_for_whenever_the_last_one_came() -> None:
    box = Inbox()
    loop = asyncio.get_running_loop()
    for _ in range(2):
        box.put(reading(1))
        await box.take(WAIT_S)
        begun_s = loop.time()
        with pytest.raises(TimeoutError):
            await box.take(WAIT_S)
        # Clocks have steps.
        assert loop.time() - begun_s > 0.98 * WAIT_S
        await asyncio.sleep(WAIT_S / BEATS / 2)


async def test_readings_that_keep_coming_are_waited_for_with_one_timer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A timer for each reading costs more than the waiting itself."""
    box = Inbox()
    loop = asyncio.get_running_loop()
    made = 0
    call_at = loop.call_at

    def counted(*args: object, **named: object) -> asyncio.TimerHandle:
        nonlocal made
        made += 1
        return call_at(*args, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(loop, "call_at", counted)
    for number in range(50):
        taking = asyncio.create_task(box.take(60.0))
        await asyncio.sleep(0)
        box.put(reading(number))
        await taking
    assert made == 1


async def test_one_that_is_cancelled_while_it_waits_loses_nothing() -> None:
    box = Inbox()
    taking = asyncio.create_task(box.take(60.0))
    await asyncio.sleep(0)
    box.put(reading(1))
    taking.cancel()
    with pytest.raises(asyncio.CancelledError):
        await taking
    assert await box.take(WAIT_S) == reading(1)


async def test_a_scale_that_is_ahead_waits_and_a_key_does_not() -> None:
    box = Inbox()
    for number in range(MOST_WAITING):
        await box.bring(reading(number))
    ahead = asyncio.create_task(box.bring(reading(MOST_WAITING)))
    await asyncio.sleep(0)
    box.put(None)
    assert not ahead.done()
    assert await box.take(WAIT_S) == reading(0)
    await ahead


async def test_others_have_their_turn_while_the_inbox_is_never_empty() -> None:
    box = Inbox()
    for number in range(2 * inbox.MOST_AT_ONCE):
        await box.bring(reading(number))
    taken: list[object] = []

    async def look_round() -> int:
        return len(taken)

    other = asyncio.create_task(look_round())
    for _ in range(2 * inbox.MOST_AT_ONCE):
        taken += [await box.take(WAIT_S)]
    assert other.done()
    assert other.result() < inbox.MOST_AT_ONCE
