"""A live brew and a replay that the test moves, and that note what they are asked."""

import asyncio
from collections.abc import Callable

from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.session.protocols import Skip
from tests.three_pours import START_S
from tests.tui.made_frames import PLAN


class FakeBrew:
    """A live brew whose clock and inputs are moved by the test."""

    def __init__(self, plan: Plan | None = PLAN) -> None:
        self.plan = plan
        self.arrangement = Arrangement.BREWER_ON_SCALE
        self.newest: Frame | None = None
        self.notice: str | None = None
        self.now_s = 0.0
        self.asked: list[str] = []
        self.finish_asked = False
        self.undo_left_s = 0.0
        self.fault: WorkError | None = None
        self.running = asyncio.Event()
        self._on_frame: Callable[[Frame], None] | None = None
        self._stopped = asyncio.Event()

    def now(self) -> float:
        return self.now_s

    async def run(self, on_frame: Callable[[Frame], None]) -> Frame | None:
        if self.fault is not None:
            raise self.fault
        self._on_frame = on_frame
        self.running.set()
        await self._stopped.wait()
        return self.newest

    def feed(self, *frames: Frame) -> None:
        """Let these come, each at its own time."""
        assert self._on_frame is not None
        for frame in frames:
            self.newest, self.now_s = frame, frame.t_s
            self._on_frame(frame)

    def stop(self) -> None:
        self.asked.append("stop")
        self._stopped.set()

    def main(self) -> None:
        self.asked.append("main")

    def tare(self) -> None:
        self.asked.append("tare")

    def mark(self) -> None:
        self.asked.append("mark")

    def note(self, text: str) -> None:
        self.asked.append(f"note {text}")

    def undo(self) -> None:
        self.asked.append("undo")

    def finish(self) -> None:
        self.asked.append("finish")


class FakeReplay:
    """A replay that notes what it is asked."""

    def __init__(self, plan: Plan | None = PLAN) -> None:
        self.plan = plan
        self.arrangement = Arrangement.BREWER_ON_SCALE
        self.newest: Frame | None = None
        self.notice: str | None = None
        self.paused = False
        self.speed = 2.0
        self.duration_s = 200.0
        self.brew_start_s: float | None = START_S
        self.asked: list[str] = []
        self.running = asyncio.Event()
        self._on_frame: Callable[[Frame], None] | None = None
        self._stopped = asyncio.Event()

    @property
    def position_s(self) -> float:
        return self.now()

    def now(self) -> float:
        return 0.0 if self.newest is None else self.newest.t_s

    run = FakeBrew.run
    fault = None

    def feed(self, *frames: Frame) -> None:
        assert self._on_frame is not None
        for frame in frames:
            self.newest = frame
            self._on_frame(frame)

    def stop(self) -> None:
        self.asked.append("stop")
        self._stopped.set()

    def main(self) -> None:
        self.pause()

    def pause(self) -> None:
        self.asked.append("pause")
        self.paused = not self.paused

    def faster(self) -> None:
        self.asked.append("faster")

    def slower(self) -> None:
        self.asked.append("slower")

    def step(self) -> None:
        self.asked.append("step")

    def seek(self, by_s: float) -> None:
        self.asked.append(f"seek {by_s:+g}")

    def skip(self, to: Skip) -> None:
        self.asked.append(to.value)
