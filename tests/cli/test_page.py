import re
import socket
from pathlib import Path

import pytest

from pourcoach.cli.main import main

SIM = "sim:steady?speed=100"
SHORT = ["--dose", "5", "--water", "30", "--bloom-wait", "15", "--pours", "1"]
COMMANDS = [
    ["brew", "--plain", "--scale", SIM, *SHORT],
    ["class", "--plain", "--station", f"1={SIM}", *SHORT],
    ["replay", "--plain", "stall", "--speed", "10000"],
]
DRILL = ["practise", "landing", "--plain", "--scale", "sim:learning?speed=100", "--pours", "1"]


@pytest.fixture(autouse=True)
def no_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", None)


@pytest.mark.parametrize("argv", COMMANDS, ids=lambda argv: argv[0])
def test_the_address_is_printed_and_the_work_is_done(
    argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*argv, "--page", "0"]) == 0
    out, err = capsys.readouterr()
    assert re.fullmatch(r"The page is http://127\.0\.0\.1:\d+/\n", err)
    assert "DONE" in out


def test_a_drill_has_a_page_too(capsys: pytest.CaptureFixture[str]) -> None:
    main([*DRILL, "--page", "0"])
    assert "The page is http://127.0.0.1:" in capsys.readouterr().err


def test_for_the_network_the_address_holds_a_token(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*COMMANDS[0], "--page", "0.0.0.0:0"]) == 0
    assert re.search(r"The page is http://[\d.]+:\d+/#[\w-]{43}\n", capsys.readouterr().err)


@pytest.mark.parametrize("page", ["x", "host.example:80", "99999"])
def test_a_wrong_address_is_refused(page: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*COMMANDS[2], "--page", page]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_port_that_is_taken_keeps_nothing_half_done(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        assert main([*COMMANDS[0], "--page", str(taken.getsockname()[1])]) == 1
    assert "no page can be served" in capsys.readouterr().err
    assert not (home / "tapes").exists()
