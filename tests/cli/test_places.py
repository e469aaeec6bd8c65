import json
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, main


def test_settings_recordings_and_library_are_named(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["places", "--json"]) == DONE
    places = json.loads(capsys.readouterr().out)
    assert places["settings"] == str(home / "config.toml")
    assert places["recordings"] == str(home / "tapes")
    assert places["library"] == str(home / "library.sqlite3")


def test_what_is_there_and_what_is_not_yet(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    home.mkdir()
    (home / "config.toml").touch()
    assert main(["places"]) == DONE
    settings, recordings, *_ = capsys.readouterr().out.splitlines()
    assert settings.split() == ["settings", str(home / "config.toml")]
    assert recordings.endswith("(not there yet)")
