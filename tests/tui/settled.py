"""Waits until a screen has done what it was asked for, beside the loop too."""

from typing import Any

from textual.pilot import Pilot


async def settled(pilot: Pilot[Any]) -> None:
    """Until all messages and all work in threads are done, with what that asked for in its turn."""
    await pilot.pause()
    while workers := [worker for worker in pilot.app.workers if worker.group == "off-loop"]:
        await pilot.app.workers.wait_for_complete(workers)
        await pilot.pause()
