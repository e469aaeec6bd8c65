"""Bare ``pourcoach`` opens the start screen as the settings ask."""

from pathlib import Path
from typing import Any

import pytest

from pourcoach.cli.main import DONE, main


def test_the_start_screen_is_shown_as_the_settings_ask(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[dict[str, Any]] = []
    monkeypatch.setattr("pourcoach.tui.flows.run_start", lambda *_, **looks: shown.append(looks))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    home.mkdir(exist_ok=True)
    (home / "config.toml").write_text('glyphs = "ascii"\ntheme = "light"\n', encoding="utf-8")
    assert main([]) == DONE
    assert shown == [{"glyphs": "ascii", "theme": "light", "mouse": True}]
