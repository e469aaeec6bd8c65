"""Ending work on a network, whatever the client library does with a cancellation."""

import asyncio

from pourcoach.sharing.worker import end_tasks


async def test_a_task_that_loses_its_first_cancellation_ends_all_the_same() -> None:
    """As ``asyncio.wait_for`` did before Python 3.12, when what it waited for was just done."""
    lost = 0

    async def loses_it() -> None:
        nonlocal lost
        try:
            await asyncio.Event().wait()
        except asyncio.CancelledError:
            lost += 1
        await asyncio.Event().wait()

    async def fails() -> None:
        raise ZeroDivisionError

    tasks = [asyncio.create_task(each()) for each in (loses_it, fails)]
    await asyncio.sleep(0)
    async with asyncio.timeout(10):
        await end_tasks(tasks)
    assert lost == 1
    assert all(task.done() for task in tasks)


async def test_nothing_to_end_is_no_trouble() -> None:
    await end_tasks([])
