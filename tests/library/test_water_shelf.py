from pathlib import Path

import pytest

from pourcoach.brewing.water.water import DEMINERALISED, Water, WaterSource
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.library.water_shelf import (
    PURE,
    delete_water,
    save_water,
    saved_water,
    saved_waters,
    waters_path,
)

HARD = Water(alkalinity_mgl=160.0)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def test_without_a_file_only_pure_water_is_known() -> None:
    assert saved_waters() == {}
    assert saved_water(PURE) == DEMINERALISED


def test_saved_replaced_and_deleted() -> None:
    save_water("tap", HARD)
    save_water("café", Water(ph=7.0))
    save_water("tap", Water(alkalinity_mgl=150.0), over=True)
    assert saved_waters() == {"café": Water(ph=7.0), "tap": Water(alkalinity_mgl=150.0)}
    delete_water("tap")
    assert list(saved_waters()) == ["café"]
    assert [path.name for path in waters_path().parent.iterdir()] == ["waters.toml"]


def test_what_is_newly_known_is_added_to_a_saved_water() -> None:
    save_water("tap", Water(source=WaterSource.WELL, tested=True, ph=7.0))
    save_water("tap", Water(ph=7.0, alkalinity_mgl=150.0))
    assert saved_water("tap") == Water(WaterSource.WELL, True, 7.0, alkalinity_mgl=150.0)


def test_a_saved_water_is_not_replaced_by_another_unasked() -> None:
    save_water("tap", Water(source=WaterSource.WELL, ph=7.0, alkalinity_mgl=150.0))
    with pytest.raises(WorkError, match="'tap' is saved with another source and alkalinity"):
        save_water("tap", Water(source=WaterSource.MAINS, ph=7.0, alkalinity_mgl=90.0))
    assert saved_water("tap").alkalinity_mgl == 150.0


@pytest.mark.parametrize("name", ["", " ", "a:b", PURE])
def test_names_that_a_blend_could_not_use_are_refused(name: str) -> None:
    with pytest.raises(UsageError, match="cannot be saved as"):
        save_water(name, HARD)


def test_an_unknown_name_is_refused_with_the_known_ones() -> None:
    save_water("tap", HARD)
    with pytest.raises(UsageError, match="there are tap, demineralised"):
        saved_water("well")
    with pytest.raises(UsageError, match="no water is saved as 'well'"):
        delete_water("well")


def test_a_broken_file_is_reported_and_not_overwritten(home: Path) -> None:
    home.mkdir()
    waters_path().write_text("[tap", encoding="utf-8")
    with pytest.raises(WorkError, match="cannot read the saved waters"):
        save_water("tap", HARD)
    assert waters_path().read_text(encoding="utf-8") == "[tap"


def test_a_folder_that_cannot_be_written_is_reported(home: Path) -> None:
    home.write_text("in the way", encoding="utf-8")
    with pytest.raises(WorkError, match=r"cannot (read the saved waters|write)"):
        save_water("tap", HARD)
