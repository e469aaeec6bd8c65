"""A recording at a glance."""

from pathlib import Path

import pytest

from pourcoach.coaching.marking.marking import mark
from pourcoach.domain.errors import WorkError
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.tape import read_tape
from pourcoach.reports.brew.stage_table import result_line
from pourcoach.reports.brew.verdict import verdict
from pourcoach.session.glance import glance
from tests.reports.made_brew import USUAL_RUBRIC

RECORDINGS = Path(__file__).parents[2] / "recordings"


def test_its_curve_and_how_it_came_out() -> None:
    tape = read_tape(RECORDINGS / "stall.jsonl")
    last = final_frame(tape)
    assert last is not None
    seen = glance(RECORDINGS / "stall.jsonl", USUAL_RUBRIC)
    assert seen.plan == tape.header.plan
    assert seen.result == result_line(last.pour, tape.header.plan)
    assert (
        seen.headline
        == verdict(last, tape.header.plan, mark(last, tape.header.plan, USUAL_RUBRIC)).headline
    )
    times_s = [brew_s for brew_s, _ in seen.points]
    assert times_s == sorted(times_s)
    assert 0.0 <= times_s[0] < 1.0
    assert 200 < len(times_s) < 500
    assert seen.points[-1][1] == pytest.approx(last.pour.water_g, abs=1.0)


def test_what_is_no_tape_says_so(tmp_path: Path) -> None:
    empty = tmp_path / "empty.jsonl"
    empty.touch()
    with pytest.raises(WorkError, match="is empty"):
        glance(empty, USUAL_RUBRIC)


def test_a_tape_of_nothing_has_nothing_to_show(tmp_path: Path) -> None:
    bare = tmp_path / "bare.jsonl"
    bare.write_text('{"pourcoach": 1}\n')
    assert glance(bare, USUAL_RUBRIC).points == ()
