import asyncio
import io
import os
import threading

import pytest

from pourcoach.cli.console.terminal_asker import THREAD_NAME, TerminalAsker
from pourcoach.domain.errors import WorkError
from tests.patience import PATIENCE_S


@pytest.fixture
def typing(monkeypatch):
    """Standard input as a pipe that the test types into."""
    ours, theirs = os.pipe()
    with os.fdopen(ours, "r") as stdin:
        monkeypatch.setattr("sys.stdin", stdin)
        with os.fdopen(theirs, "w", buffering=1) as keyboard:
            yield keyboard
        for thread in threading.enumerate():
            if thread.name == THREAD_NAME:
                thread.join(PATIENCE_S)


async def test_answers_are_lines_and_the_loop_runs_on_meanwhile(typing):
    screen = io.StringIO()
    asker = TerminalAsker(screen)
    ticks = 0

    async def tick():
        nonlocal ticks
        while True:
            ticks += 1
            await asyncio.sleep(0.005)

    ticking = asyncio.create_task(tick())
    asking = asyncio.create_task(asker.ask("How much?"))
    await asyncio.sleep(0.1)
    typing.write("200 g\n")
    assert await asking == "200 g"
    ticking.cancel()
    assert ticks > 5
    assert "How much? " in screen.getvalue()


async def test_what_was_typed_before_is_no_answer(typing):
    asker = TerminalAsker(io.StringIO())
    typing.write("first\n")
    assert await asker.ask("One?") == "first"
    typing.write("too early\n")
    await asyncio.sleep(0.1)
    asking = asyncio.create_task(asker.ask("Two?"))
    await asyncio.sleep(0.05)
    typing.write("second\n")
    assert await asking == "second"


async def test_the_end_of_input_is_reported_each_time(typing):
    asker = TerminalAsker(io.StringIO())
    typing.close()
    for _ in range(2):
        with pytest.raises(WorkError, match="no answer came"):
            await asker.ask("Anyone?")


def test_a_terminal_s_lines_are_broken_between_words(monkeypatch):
    class Terminal(io.StringIO):
        def isatty(self):
            return True

    monkeypatch.setenv("COLUMNS", "24")
    screen = Terminal()
    TerminalAsker(screen).say("Put it on, and leave it alone.\n\n  as in  [78217] and what follows")
    assert screen.getvalue().splitlines() == [
        "Put it on, and leave it",
        "alone.",
        "",
        "  as in  [78217] and",
        "  what follows",
    ]
