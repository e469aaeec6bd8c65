"""What practice leaves of a person goes with them."""

import json
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.library.erasing import erase_person
from pourcoach.library.library import Library, library_path
from pourcoach.library.practised import forget_practice, practice_logs, rename_practice


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def _write(*names: str | None) -> None:
    for path in practice_logs():
        lines = [json.dumps({"by": name, "at": "2026-03-02"}) for name in names]
        path.write_text("\n".join([*lines, "rubbish", ""]), encoding="utf-8")


def test_only_that_persons_lines_are_taken_out() -> None:
    _write("Ada", "Bo", None, "ada")
    assert forget_practice("ADA")
    for path in practice_logs():
        text = path.read_text(encoding="utf-8")
        assert "Ada" not in text
        assert "ada" not in text
        assert "Bo" in text
        assert "rubbish" in text
    assert not forget_practice("Ada")


def test_a_person_called_otherwise_keeps_their_lines() -> None:
    _write("Ada", "Bo")
    assert rename_practice("ada", "Ada L")
    for path in practice_logs():
        rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()[:2]]
        assert [row["by"] for row in rows] == ["Ada L", "Bo"]


def test_who_has_no_brew_can_be_erased_all_the_same() -> None:
    _write("Ada")
    with Library(library_path()) as library:
        assert erase_person(library, "Ada").brews == 0
        assert "Ada" not in practice_logs()[0].read_text(encoding="utf-8")
        with pytest.raises(WorkError):
            erase_person(library, "Ada")
