"""A path is completed as it is typed."""

from pathlib import Path

import pytest

from pourcoach.tui.start.path_suggester import PathSuggester


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    (tmp_path / "plans").mkdir()
    (tmp_path / ".hidden").mkdir()
    for name in ("plans/class.toml", "plans/clean.txt", "monday.toml", "monday.jsonl"):
        (tmp_path / name).touch()
    return tmp_path


@pytest.mark.parametrize(
    ("typed", "suggested"),
    [
        ("", None),
        ("m", "monday.toml"),
        ("p", "plans/"),
        ("plans/", "plans/class.toml"),
        ("plans/cl", "plans/class.toml"),
        ("plans/cle", None),
        ("~/plans/c", "~/plans/class.toml"),
        ("none/", None),
        (".h", ".hidden/"),
        ("M", None),
    ],
)
async def test_a_file_or_a_folder(typed: str, suggested: str | None) -> None:
    assert await PathSuggester((".toml",)).get_suggestion(typed) == suggested


@pytest.mark.parametrize(
    ("typed", "suggested"),
    [
        ("t", "tape:"),
        ("tape:mon", "tape:monday.jsonl"),
        ("serial:pl", "serial:plans/"),
        ("x", None),
        ("", None),
    ],
)
async def test_what_stands_before_it(typed: str, suggested: str | None) -> None:
    suggester = PathSuggester((".jsonl",), ("serial:", "tape:"))
    assert await suggester.get_suggestion(typed) == suggested
