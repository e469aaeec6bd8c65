"""A drill on a page: no more than its student may see."""

from dataclasses import dataclass, field
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.practice.assignment import Mode
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.session.practice.board import PracticeBoard
from pourcoach.session.practice.drills import find_drill
from pourcoach.sharing.seen import SeenStation, TileAge
from tests.tui.made_frames import PLAN, make_frame


@dataclass
class Assignment:
    task: str = "Pour 100 g."
    asks: Any = field(default_factory=lambda: find_drill("landing").asks)
    mode: Mode = Mode.TRAIN


@dataclass
class Attempt:
    assignment: Assignment = field(default_factory=Assignment)
    plan: Any = PLAN


class Brew:
    def now(self) -> float:
        return 20.0


@dataclass
class Session:
    """As much of a pour of a drill as a board looks at."""

    newest: Glance | None = None
    notice: str | None = None
    attempt: Attempt = field(default_factory=Attempt)
    brew: Brew = field(default_factory=Brew)


def seen(glance: Glance | None, notice: str | None = None, mode: Mode = Mode.TRAIN) -> SeenStation:
    session: Any = Session(glance, notice, Attempt(Assignment(mode=mode)))
    (found,) = PracticeBoard("landing", lambda: session).seen()
    return found


def frame() -> Frame:
    return make_frame(20.0, Word.MORE, 97.3, phase=Phase.POURING, flow_gps=4.0)


def test_before_the_first_pour() -> None:
    (found,) = PracticeBoard("landing", lambda: None).seen()
    assert found.standing is TileAge.WAITING


def test_before_the_water_the_task_is_read_out() -> None:
    tile = seen(Glance(0.0, Step.READY, None, None)).tile
    assert tile is not None
    assert (tile.phase, tile.word, tile.says) == (Phase.READY, Word.READY, "Pour 100 g.")


def test_with_live_help_all_is_seen() -> None:
    found = seen(Glance(20.0, Step.POURING, frame(), 16.0))
    assert found.tile is not None
    assert (found.tile.word, found.tile.weight_g) == (Word.MORE, 97.3)
    assert found.plan_line


def test_only_assistance_lets_a_pitch_say_how_far_off_it_is() -> None:
    glance = Glance(20.0, Step.POURING, frame(), 16.0)
    assert not seen(glance).pitch
    assert seen(glance, mode=Mode.ASSIST).pitch


def test_without_help_the_pour_says_nothing_of_itself() -> None:
    found = seen(Glance(20.0, Step.POURING, None, 16.0))
    tile = found.tile
    assert tile is not None
    assert (tile.word, tile.says) == (Word.POUR, "Go on as you mean to.")
    hidden = (tile.weight_g, tile.off_g, tile.band_g, tile.flow_gps, tile.countdown_s, tile.to_g)
    assert hidden == (None,) * 6
    assert (tile.finding, tile.next, found.plan_line) == (None, "", ())
    assert tile.link
    assert tile.time_s == 16.0


def test_a_server_nearly_full_is_never_hidden() -> None:
    tile = seen(Glance(20.0, Step.POURING, None, 16.0, server_full=True)).tile
    assert tile is not None
    assert tile.word is Word.STOP


@pytest.mark.parametrize("step", [Step.ASKING, Step.WAITING, Step.OVER])
def test_a_result_that_is_not_due_is_not_seen(step: Step) -> None:
    # The Frame is there for records, and still not shown.
    tile = seen(Glance(30.0, step, frame())).tile
    assert tile is not None
    assert (tile.weight_g, tile.flow_gps, tile.finding) == (None, None, None)
    assert "97" not in tile.says


def test_trouble_with_the_scale_is_said() -> None:
    tile = seen(Glance(20.0, Step.POURING, None), "The cable is out").tile
    assert tile is not None
    assert tile.notice == "The cable is out"
