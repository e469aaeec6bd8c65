"""Fakes of what the screens look at: frames, a live brew, a replay; and a screen as text."""

import asyncio
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.app import App
from textual.strip import Strip

from pourcoach.domain.advice import Cue, Risk, RiskLevel, Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import NextStep, Phase, PourState
from pourcoach.tui.brew_screen import BrewScreen
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK, Palette
from pourcoach.tui.themes import use_palette, variables

GOLDENS = Path(__file__).parent / "goldens"
START_S = 4.0
PLAN = Plan(
    dose_g=20.0,
    ratio=16.0,
    water_g=320.0,
    bloom_s=35.0,
    finish_s=190.0,
    stages=(
        Stage("bloom", 0.0, 40.0, 5.0),
        Stage("pour 1", 35.0, 180.0, 5.0),
        Stage("pour 2", 85.0, 320.0, 5.0),
    ),
)


def make_frame(
    t_s: float = 2.0,
    word: Word = Word.READY,
    mass_g: float = 0.0,
    *,
    phase: Phase = Phase.READY,
    flow_gps: float = 0.0,
    plan: Plan | None = PLAN,
    stop_due_s: float | None = None,
    countdown_s: float | None = None,
    off_g: float | None = None,
    next_step: NextStep | None = None,
) -> Frame:
    """One frame, the first water having come at START_S."""
    brewing = phase is not Phase.READY
    brew_s = t_s - START_S if brewing else None
    target_g = plan.target_g(brew_s) if plan is not None and brew_s is not None else None
    if off_g is None and target_g is not None:
        off_g = mass_g - target_g
    stage = None
    if plan is not None:
        stage = next((s for s in plan.stages if mass_g < s.to_g), plan.stages[-1])
    return Frame(
        t_s=t_s,
        estimate=Estimate(
            t_s=t_s,
            mass_g=mass_g,
            mass_error_g=0.05,
            flow_gps=flow_gps,
            flow_error_gps=0.3,
            pouring=phase is Phase.POURING,
            pour_probability=float(phase is Phase.POURING),
            settled=None,
            disturbance=None,
            step_g=0.0,
            pours=(),
            traits=ScaleTraits(),
        ),
        pour=PourState(
            phase=phase,
            armed=True,
            brew_start_s=START_S if brewing else None,
            brew_s=brew_s,
            end_s=t_s if phase is Phase.DONE else None,
            ending=None,
            water_g=mass_g,
            plan=plan,
            stage=stage,
            target_g=target_g,
            band_g=None if plan is None else 5.0,
            off_g=off_g,
            off_s=None,
            countdown_s=countdown_s,
            next=next_step,
            stages=(),
        ),
        cue=Cue(word, since_s=t_s, stop_due_s=stop_due_s),
        flags=(),
        risk=Risk(RiskLevel.LOW, ()),
    )


def make_brew(until_s: float) -> list[Frame]:
    """A steady hand following PLAN, ten frames a second, a little behind and a little wavy."""
    frames = [make_frame(t / 10) for t in range(int(START_S * 10))]
    for tick in range(int(until_s * 10) + 1):
        brew_s = tick / 10
        mass_g = PLAN.target_g(max(0.0, brew_s - 0.6)) * (1.0 + 0.006 * ((tick // 17) % 5 - 2))
        stage = next((s for s in PLAN.stages if mass_g < s.to_g * 0.985), None)
        pouring = PLAN.target_g(brew_s) - PLAN.target_g(brew_s - 0.5) > 0.1
        index = -1 if stage is None else PLAN.stages.index(stage)
        if pouring:
            phase, word = Phase.POURING, Word.POUR if brew_s > 30 else Word.BLOOM
        elif stage is None:
            phase, word = Phase.DRAINING, Word.DRAIN
        else:
            phase, word = Phase.WAITING, Word.WAIT
        waiting = phase is Phase.WAITING and stage is not None
        if pouring and stage is not None:
            step = NextStep(Phase.WAITING, PLAN.stage_end_s(index))
        elif waiting and stage is not None:
            step = NextStep(Phase.POURING, stage.start_s, stage.name, stage.to_g)
        else:
            step = NextStep(Phase.DONE, PLAN.finish_s)
        frames.append(
            make_frame(
                START_S + brew_s,
                word,
                mass_g,
                phase=phase,
                flow_gps=5.0 if pouring else 0.0,
                countdown_s=stage.start_s - brew_s if waiting and stage is not None else None,
                next_step=step,
            )
        )
    return frames


class FakeBrew:
    """A live brew whose clock and inputs are moved by the test."""

    def __init__(self, plan: Plan | None = PLAN) -> None:
        self.plan = plan
        self.arrangement = Arrangement.BREWER_ON_SCALE
        self.newest: Frame | None = None
        self.notice: str | None = None
        self.now_s = 0.0
        self.asked: list[str] = []
        self.fault: WorkError | None = None
        self._on_frame: Callable[[Frame], None] | None = None
        self._stopped = asyncio.Event()

    def now(self) -> float:
        return self.now_s

    async def run(self, on_frame: Callable[[Frame], None]) -> Frame | None:
        if self.fault is not None:
            raise self.fault
        self._on_frame = on_frame
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
        self.asked: list[str] = []
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


class BrewApp(App[Any]):
    """As little as a brew screen needs."""

    def __init__(self, session: Any, glyphs: Glyphs = FULL, palette: Palette = DARK) -> None:
        super().__init__()
        self.brew_screen = BrewScreen(session, glyphs)
        self.left_how: Any = None
        self._palette = palette

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, self._palette)
        self.push_screen(self.brew_screen, self._left)

    def _left(self, how: Any) -> None:
        self.left_how = how


def text_of(app: App[Any]) -> str:
    """What stands on the screen, rows cut at their last ink."""
    return "\n".join(strip.text.rstrip() for strip in strips_of(app))


def strips_of(app: App[Any]) -> list[Strip]:
    """The screen's rows. The one use of Textual's compositor, which it keeps to itself."""
    return app.screen._compositor.render_strips()


@pytest.fixture
def plan() -> Plan:
    return PLAN


@pytest.fixture
def frame() -> Callable[..., Frame]:
    return make_frame


@pytest.fixture
def brew_until() -> Callable[[float], list[Frame]]:
    return make_brew


@pytest.fixture
def fake_brew() -> type[FakeBrew]:
    return FakeBrew


@pytest.fixture
def fake_replay() -> type[FakeReplay]:
    return FakeReplay


@pytest.fixture
def brew_app() -> type[BrewApp]:
    return BrewApp


@pytest.fixture
def screen_text() -> Callable[[App[Any]], str]:
    return text_of


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """Compare with ``goldens/NAME.txt``. With POURCOACH_REWRITE_GOLDENS=1 in the environment it
    is written instead: then look at what changed before it is committed.
    """

    def check(name: str, text: str) -> None:
        path = GOLDENS / f"{name}.txt"
        if os.environ.get("POURCOACH_REWRITE_GOLDENS") == "1":
            path.write_text(text + "\n", encoding="utf-8")
        assert text + "\n" == path.read_text(encoding="utf-8")

    return check
