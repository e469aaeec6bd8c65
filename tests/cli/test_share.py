import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from pourcoach.cli.classroom import WordLines
from pourcoach.cli.main import main
from pourcoach.places import tapes_folder
from pourcoach.session.kept.landing import has_landed, land
from pourcoach.sharing.room import Room
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.tile_reader import read_tile
from tests.sharing.mosquitto import Mosquitto, needs_mosquitto
from tests.sharing.test_heard import tile

BREW = ["brew", "--plain", "--scale", "sim:steady?speed=100", "--by", "Ada", "--dose", "5"]
BREW += ["--water", "30", "--bloom-wait", "15", "--pours", "1"]


@pytest.fixture(autouse=True)
def no_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", None)


def test_without_a_broker_the_brew_never_notices(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    nowhere = Mosquitto(tmp_path).address()
    assert main([*BREW, "--share", nowhere]) == 0
    out, err = capsys.readouterr()
    (recording,) = re.findall(r"^The recording is (.*)$", out, re.MULTILINE)
    assert '"end"' in Path(recording).read_text().splitlines()[-1]
    assert "has not arrived in the room yet" in err


def test_what_a_network_needs_is_imported_only_once_it_is_asked_for() -> None:
    commands = ("brew", "classroom", "replay", "practise", "taste")
    code = "".join(f"import pourcoach.cli.{name}\n" for name in commands)
    code += "import sys; print([m for m in ('aiohttp', 'aiomqtt', 'segno') if m in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"


@needs_mosquitto
def test_a_shared_brew_lands_at_the_trainers_without_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from pourcoach.sharing.listener import Listener

    broker = Mosquitto(tmp_path)
    broker.start()
    try:
        with Listener(Room.parse(broker.address()), land, has_landed) as wall:
            assert main([*BREW, "--share", broker.address(), "--station", "7"]) == 0
            assert capsys.readouterr().err == ""
            assert [seen.name for seen in wall.seen()] == ["7"]
            assert [seen.tile.person for seen in wall.seen() if seen.tile] == [None]
            assert wall.arrived == 1
    finally:
        broker.kill()
    ours, landed = sorted(tapes_folder().iterdir(), key=lambda path: "Ada" not in path.read_text())
    assert ours.read_text().splitlines()[1:] == landed.read_text().splitlines()[1:]
    assert "Ada" not in landed.read_text()


def test_a_plain_wall_says_each_change_of_word(capsys: pytest.CaptureFixture[str]) -> None:
    lines = WordLines()
    pour = SeenStation("3", TileAge.LIVE, read_tile(tile()), 0.1)
    gone = SeenStation("3", TileAge.GONE, read_tile(tile()), 0.1)
    for seen in (SeenStation("3", TileAge.WAITING), pour, pour, gone, gone, pour):
        lines.look(seen)
    assert capsys.readouterr().out.splitlines() == [
        "3  0:16   97 g  POUR",
        "3  0:16   97 g  GONE",
        "3  0:16   97 g  POUR",
    ]


@pytest.mark.parametrize(
    "options",
    [["--share", "http://x/y"], ["--station", "3"], ["--share", "mqtt://x/y", "--station", " "]],
)
def test_wrong_use_is_one_line(options: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*BREW, *options]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_listening_and_own_stations_exclude_each_other(capsys: pytest.CaptureFixture[str]) -> None:
    argv = ["class", "--plain", "--listen", "mqtt://x/y", "--station", "1=sim:steady"]
    assert main(argv) == 2
    assert "other machines' stations" in capsys.readouterr().err


@needs_mosquitto
def test_a_shared_drill_shows_its_progress_and_lands_at_the_trainers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from pourcoach.sharing.listener import Listener

    read, write = os.pipe()
    os.write(write, b"e 200\n")
    os.close(write)
    broker = Mosquitto(tmp_path)
    broker.start()
    drill = ["practise", "landing", "--plain", "--scale", "sim:learning?speed=100", "--pours", "1"]
    kept: list[bytes] = []
    try:
        with os.fdopen(read) as typed:
            monkeypatch.setattr("sys.stdin", typed)
            with Listener(
                Room.parse(broker.address()),
                lambda _station, _hash, content: kept.append(content),
                lambda _hash: False,
            ) as wall:
                shared = ["--share", broker.address(), "--station", "4", "--by", "Ada"]
                assert main([*drill, *shared]) == 0
                (seen,) = wall.seen()
    finally:
        broker.kill()
    assert capsys.readouterr().err == ""
    assert seen.name == "4"
    assert seen.tile is not None
    assert "Landing, first pour" in seen.tile.says
    assert seen.tile.person is None
    assert seen.tile.weight_g is None
    (tape,) = kept
    assert b'"practice"' in tape
    assert b"Ada" not in tape
