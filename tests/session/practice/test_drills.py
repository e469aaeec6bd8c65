"""The drills that ship, and those of a trainer."""

from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.practice.drill.drill_file import FULL_SHARE
from pourcoach.session.practice.drills import _SHIPPED, ORDER, drills, find_drill, own_drills_folder
from tests.practice.drill.test_drill_file import GOOD


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def test_every_file_that_ships_is_in_the_order_of_learning() -> None:
    assert {path.stem for path in _SHIPPED.glob("*.toml")} == set(ORDER)
    assert [drill.name for drill in drills()[0]] == list(ORDER)


@pytest.mark.parametrize("name", ORDER)
def test_each_can_be_planned_at_every_factor(name: str) -> None:
    drill = find_drill(name)
    for factor in (*drill.factors, *drill.transfer_factors):
        plan = drill.plan_at(factor)
        assert plan.water_g <= FULL_SHARE * drill.server_ml
        assert "{" not in drill.task_at(factor)
    assert not set(drill.factors) & set(drill.transfer_factors)


def test_a_trainers_own_is_found_by_name_and_by_file() -> None:
    folder = own_drills_folder()
    folder.mkdir(parents=True)
    (folder / "halves.toml").write_text(GOOD, encoding="utf-8")
    assert find_drill("halves") == find_drill(str(folder / "halves.toml"))
    assert drills()[0][-1].title == "Two halves"


def test_a_broken_one_is_reported_and_hides_no_other() -> None:
    folder = own_drills_folder()
    folder.mkdir(parents=True)
    (folder / "broken.toml").write_text("title = 3", encoding="utf-8")
    found, troubles = drills()
    assert [drill.name for drill in found] == list(ORDER)
    assert len(troubles) == 1
    assert "broken" in troubles[0]


def test_an_unknown_one_is_refused_with_the_names() -> None:
    with pytest.raises(UsageError, match=r"no drill 'juggling'.*steady, landing"):
        find_drill("juggling")
