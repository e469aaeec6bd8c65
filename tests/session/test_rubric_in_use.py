"""Which rubric marks, and what is said of one that cannot be read."""

from dataclasses import replace
from pathlib import Path

import pytest

from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, read_rubric
from pourcoach.domain.errors import WorkError
from pourcoach.domain.limits import FlagLimits
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.session.rubric_in_use import judged_by, planned_under, rubric_in_use
from tests.reports.made_brew import PLAN

USUAL = read_rubric(DEFAULT_RUBRIC)
STRICT = replace(USUAL, limits=FlagLimits(uneven_cv=0.01))


def written(path: Path, name: str) -> Path:
    path.write_text(DEFAULT_RUBRIC.replace("pouring to plan", name), encoding="utf-8")
    return path


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def test_without_any_file_it_is_the_usual() -> None:
    assert rubric_in_use() == USUAL


def test_the_users_own_wins_over_the_usual_and_one_named_over_both(home: Path) -> None:
    written(home / "rubric.toml", "house")
    named = written(home / "exam.toml", "exam")
    assert rubric_in_use().name == "house"
    assert rubric_in_use(named).name == "exam"
    assert rubric_in_use(own=False) == USUAL


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"\xff", "it is not UTF-8 text"),
        (b"[", "the rubric is not TOML"),
        (b"name = 'x'", "the rubric, criterion is missing"),
    ],
)
def test_one_that_cannot_be_read_is_named(content: bytes, why: str, home: Path) -> None:
    path = home / "rubric.toml"
    path.write_bytes(content)
    with pytest.raises(WorkError) as raised:
        rubric_in_use()
    assert str(path) in str(raised.value)
    assert why in str(raised.value)


def test_its_limits_take_the_place_of_the_plans_where_it_sets_any() -> None:
    assert planned_under(PLAN, USUAL) is PLAN
    assert planned_under(PLAN, STRICT).limits.uneven_cv == 0.01
    tape = read_tape(Path("recordings/steady.jsonl"))
    plan = judged_by(tape, STRICT).header.plan
    assert plan is not None
    assert plan.limits.uneven_cv == 0.01
    assert judged_by(tape, USUAL) == tape
    planless = replace(tape, header=TapeHeader(plan=None))
    assert judged_by(planless, STRICT) is planless
