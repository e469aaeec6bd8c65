"""What practice leaves of a person is read back as theirs, and goes with them."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.library.erasing import erase_person
from pourcoach.library.library import Library, library_path
from pourcoach.library.people import known_person
from pourcoach.library.practice_log import (
    forget_practice,
    judging_log,
    log_practice,
    practice_logs,
    practice_of,
    rename_practice,
    spotting_log,
)
from pourcoach.library.renaming import rename_person

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def _write(*names: str | None) -> None:
    for path in practice_logs():
        lines = [json.dumps({"by": name, "at": "2026-03-02"}) for name in names]
        path.write_text("\n".join([*lines, "rubbish", ""]), encoding="utf-8")


def test_one_persons_lines_are_read_back() -> None:
    for name, number in (("Zoë", 1), (None, 2), ("Bo", 3), ("ZOË", 4)):
        log_practice(spotting_log(), name, NOON, {"number": number})
    with spotting_log().open("a", encoding="utf-8") as log:
        log.write('rubbish\n["Zoë"]\n{"by": "Zoë", "at": "2026-03-02"}\n')
    for name, numbers in (("zoë", [1, 4]), (None, [2]), ("Ada", [])):
        assert practice_of(spotting_log(), name, lambda data: int(data["number"])) == numbers


def test_a_log_that_cannot_be_written_is_named() -> None:
    spotting_log().mkdir()
    with pytest.raises(WorkError, match=r"^cannot write .*spotted\.jsonl: "):
        log_practice(spotting_log(), "Ada", NOON, {})


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


def test_a_recording_called_after_a_person_is_not_named_any_more() -> None:
    for path in ("tapes/ada-2026-03-02.jsonl", "tapes/adana.jsonl"):
        log_practice(judging_log(), "Bo", NOON, {"recording": path})
    assert forget_practice("Ada")
    assert practice_of(judging_log(), "Bo", lambda data: data["recording"]) == [
        None,
        "tapes/adana.jsonl",
    ]


def test_a_person_called_otherwise_keeps_their_lines() -> None:
    _write("Ada", "Bo")
    assert rename_practice("ada", "Ada L")
    for path in practice_logs():
        rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()[:2]]
        assert [row["by"] for row in rows] == ["Ada L", "Bo"]


def test_who_has_no_brew_can_be_called_otherwise_all_the_same() -> None:
    _write("Ada")
    with Library(library_path()) as library:
        assert rename_person(library, "Ada", "Ada L") == 0
        assert known_person(library, "ada l").name == "ada l"
        with pytest.raises(WorkError, match="nobody in the library is called 'Ada'"):
            rename_person(library, "Ada", "Bo")


def test_who_has_no_brew_can_be_erased_all_the_same() -> None:
    _write("Ada")
    with Library(library_path()) as library:
        assert erase_person(library, "Ada").brews == 0
        assert "Ada" not in practice_logs()[0].read_text(encoding="utf-8")
        with pytest.raises(WorkError):
            erase_person(library, "Ada")
