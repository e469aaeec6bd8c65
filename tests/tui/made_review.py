"""A finished brew for the review: its last Frame, its trace, and the screen that shows it."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from textual.app import App

from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.afterwards import Afterword, Impression, Remark, RemarkKind
from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK, Palette
from pourcoach.tui.review.kept_brew import Keeper
from pourcoach.tui.review.review_keys import After
from pourcoach.tui.review.review_screen import ReviewScreen
from pourcoach.tui.themes import use_palette, variables
from tests.reports.made_brew import (
    KNOCK,
    PLAN,
    STALL,
    START_S,
    UNEVEN,
    USUAL_RUBRIC,
    last_frame,
)

BREW_S = 187.0
FAULTY = last_frame(flags=(STALL, UNEVEN, KNOCK))


def made_trace(late_s: float = 0.6, over: float = 1.02) -> DrawnTrace:
    """A hand a little late and a little over, then the brewer lifted."""
    trace = DrawnTrace()
    for tick in range(int(BREW_S * 10)):
        brew_s = tick / 10
        mass_g, later_g = (
            over * PLAN.target_g(max(0.0, at_s - late_s)) for at_s in (brew_s, brew_s + 0.1)
        )
        # Wandering a little, once in two seconds.
        wander = 1.3 if tick % 20 < 10 else 0.7
        trace.add(START_S + brew_s, mass_g, wander * 10 * (later_g - mass_g))
    trace.add(START_S + BREW_S + 0.1, -350.0)
    return trace


class FakeKeeper:
    """Notes what it is to keep, or refuses it."""

    def __init__(self, *, full: bool = False) -> None:
        self.kept: list[object] = []
        self._full = full

    def _keep(self, what: object) -> None:
        if self._full:
            raise WorkError("the disk is full", "free it")
        self.kept.append(what)

    def remark(self, kind: RemarkKind, text: str) -> None:
        self._keep((kind, text))

    def impressions(self) -> tuple[Impression, ...]:
        return tuple(
            Remark(one[0], one[1], "2026-01-15T09:35:00+00:00")
            for one in self.kept
            if isinstance(one, tuple) and isinstance(one[0], RemarkKind)
        )

    def say(self, words: Sequence[Afterword]) -> str | None:
        self._keep(list(words))
        return None

    def strength(self, brew: MeasuredBrew) -> None:
        self._keep(brew)

    def water(self, name: str) -> None:
        self._keep(name)

    def earlier(self) -> list[tuple[float, float]]:
        return [(19.5, 1.25)]

    def export_name(self) -> str:
        return "a-review.html"

    def export(self, name: str, rubric: Rubric) -> Path:
        self._keep((name, rubric))
        return Path("/tapes") / name

    def advice(self) -> list[str]:
        if self._full:
            raise WorkError("the tape is gone")
        return ["CHANGE ONE THING: grind", "finer"]


class ReviewApp(App[Any]):
    """As little as a review needs."""

    def __init__(
        self,
        frame: Frame = FAULTY,
        glyphs: Glyphs = FULL,
        palette: Palette = DARK,
        keeper: Keeper | None = None,
        *,
        can: bool = True,
        arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    ) -> None:
        super().__init__()
        self.review = ReviewScreen(
            frame,
            frame.pour.plan,
            made_trace(),
            USUAL_RUBRIC,
            glyphs,
            can_replay=can,
            can_repeat=can,
            keeper=keeper,
            arrangement=arrangement,
        )
        self.after: After | None = None
        self._palette = palette

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, self._palette)
        self.push_screen(self.review, self._left)

    def _left(self, after: After | None) -> None:
        self.after = after
