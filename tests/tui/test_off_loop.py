"""Nothing that may take long holds the screen."""

import threading
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Static

from pourcoach.domain.afterwards import RemarkKind
from pourcoach.domain.errors import WorkError
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.off_loop import in_thread, off_loop
from tests.tui.made_review import FakeKeeper, ReviewApp
from tests.tui.screen_app import ScreenApp
from tests.tui.settled import settled


class Blank(LeavesOnce[None]):
    def compose(self) -> Any:
        yield Static()


async def test_work_is_done_in_order_in_another_thread() -> None:
    threads, done, failed = [], [], []
    screen = Blank()
    app = ScreenApp(screen)

    def work(number: int) -> int:
        threads.append(threading.current_thread())
        if number == 1:
            raise WorkError("it is gone")
        return number

    async with app.run_test() as pilot:
        await pilot.pause()
        for number in range(3):
            off_loop(screen, lambda n=number: work(n), done.append, failed.append)
        await settled(pilot)
    assert done == [0, 2]
    assert [str(error) for error in failed] == ["it is gone"]
    assert threading.main_thread() not in threads


async def test_what_was_asked_for_is_done_though_the_screen_is_left() -> None:
    begun, done = threading.Event(), threading.Event()
    screen = Blank()
    app = ScreenApp(screen)
    given: list[object] = []

    def work() -> None:
        begun.wait(5.0)
        done.set()

    async with app.run_test() as pilot:
        await pilot.pause()
        off_loop(screen, work, given.append, given.append)
        await pilot.pause()
        screen.dismiss(None)
        await pilot.pause()
        begun.set()
        await settled(pilot)
    assert done.is_set()
    assert given == []


async def test_an_error_comes_through() -> None:
    def work() -> None:
        raise WorkError("it is gone")

    with pytest.raises(WorkError, match="it is gone"):
        await in_thread(work)


async def test_the_review_asks_the_library_beside_the_loop(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a hundred kept strengths ``s`` once held it for seconds."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    keeper = FakeKeeper()
    calls: dict[str, threading.Thread] = {}
    for name in ("remark", "impressions", "strength", "water", "earlier", "export", "advice"):
        plain = getattr(keeper, name)

        def noted(*given: Any, name: str = name, plain: Any = plain) -> Any:
            calls[name] = threading.current_thread()
            return plain(*given)

        setattr(keeper, name, noted)
    app = ReviewApp(keeper=keeper)
    async with app.run_test(size=(100, 30)) as pilot:
        for keys in (
            ["l", "5"],
            ["e", "enter"],
            ["a", "x"],
            ["s", *"1.3", "tab", *"281", "f2", "escape"],
            ["w", *"mains", "f2", *"tap", "enter", "escape"],
        ):
            await pilot.press(*keys)
            await settled(pilot)
    assert set(calls) == {
        "remark",
        "impressions",
        "strength",
        "water",
        "earlier",
        "export",
        "advice",
    }
    assert threading.main_thread() not in calls.values()
    assert keeper.kept[0] == (RemarkKind.BED, "hole")
