"""Sound from the command line, with players that are not there or only keep what they are given."""

from pathlib import Path

import pytest

from pourcoach.cli.main import main
from pourcoach.wording.motifs import MOTIFS
from tests.sound.fake_player import FakePlayer

SHORT = ["--dose", "5", "--water", "30", "--bloom-wait", "15", "--pours", "1"]
BREW = ["brew", "--plain", "--scale", "sim:steady?speed=50", *SHORT]


@pytest.fixture(autouse=True)
def no_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", None)


@pytest.fixture
def player(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> FakePlayer:
    folder = tmp_path / "programs"
    folder.mkdir()
    return FakePlayer(folder, monkeypatch)


def test_a_brew_is_heard(player: FakePlayer, capsys: pytest.CaptureFixture[str]) -> None:
    player.plays()
    assert main([*BREW, "--sound", "words,pitch"]) == 0
    out, err = capsys.readouterr()
    assert "DONE" in out
    assert err == ""
    assert player.heard.any()


@pytest.mark.usefixtures("player")
def test_without_a_player_the_brew_goes_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*BREW, "--sound", "words"]) == 0
    out, err = capsys.readouterr()
    assert "DONE" in out
    assert err.count("\n") == 1
    assert "no sound: no player was found" in err


def test_nothing_is_played_unless_asked_for(player: FakePlayer) -> None:
    player.plays()
    assert main(BREW) == 0
    assert main([*BREW, "--sound", "off"]) == 0
    assert player.asked == []


def test_the_settings_ask_too_and_an_option_wins(home: Path, player: FakePlayer) -> None:
    player.plays()
    home.mkdir(exist_ok=True)
    (home / "config.toml").write_text('sound = "words"\nvolume = 10\n')
    assert main([*BREW, "--sound", "off"]) == 0
    assert player.asked == []
    assert main(BREW) == 0
    assert 0.05 < abs(player.heard).max() <= 0.1


@pytest.mark.parametrize(
    "options",
    [
        ["--sound", "bells"],
        ["--sound", "pitch,flow"],
        ["--sound", ""],
        ["--sound", "words", "--volume", "101"],
        ["--sound", "words", "--volume", "loud"],
    ],
)
def test_what_cannot_be_heard_is_refused_in_a_line(
    options: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*BREW, *options]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_sounds_teaches_them(
    player: FakePlayer, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pourcoach.cli.sounds.PAUSE_S", 0.1)
    player.plays()
    assert main(["sounds", "stop", "scale"]) == 0
    out = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in out[:2]] == ["STOP", "SCALE?"]
    assert "two high tones" in out[0]
    assert "not shown" in " ".join(out)
    assert player.heard.any()


@pytest.mark.usefixtures("player")
def test_sounds_lists_them_where_nothing_can_play(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sounds"]) == 1
    out, err = capsys.readouterr()
    assert all(motif.says in out for motif in MOTIFS.values())
    assert err.count("\n") == 1
    assert main(["sounds", "bells"]) == 2
