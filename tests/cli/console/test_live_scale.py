"""Live readings: a line that changes on a terminal, lines elsewhere."""

import io
import json
import sys

import pytest

from pourcoach.cli.console import live_scale
from pourcoach.cli.console.live_scale import live_figures, show_live
from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Link, Reading
from pourcoach.scales.open import open_scale
from pourcoach.scales.watch import Behaviour
from tests.session.fakes import FakeScale

READINGS = [Reading(0.1 * index, 20.0) for index in range(6)]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live_scale, "SCREEN_BEAT_S", 0.001)
    monkeypatch.setattr(live_scale, "LOG_BEAT_S", 0.001)


def shown(monkeypatch: pytest.MonkeyPatch, *items: Reading | Link | Exception, **how: bool) -> int:
    """The exit status of showing what a scale gives until it ends."""
    monkeypatch.setattr(live_scale, "open_scale", lambda *_: FakeScale(items))
    return show_live("sim:steady", None, as_json=how.get("as_json", False))


def test_on_a_terminal_one_line_is_written_over_and_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert shown(monkeypatch, *READINGS) == 0
    text = sys.stdout.getvalue()
    assert text.count("\n") == 1
    assert text.endswith("\n")
    assert "20.0" in text


def test_elsewhere_each_is_a_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert shown(monkeypatch, *READINGS) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines
    assert all("20.0" in line for line in lines)


def test_json_is_lines_on_a_terminal_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert shown(monkeypatch, *READINGS, as_json=True) == 0
    lines = sys.stdout.getvalue().splitlines()
    assert {json.loads(line)["grams_g"] for line in lines} == {20.0}


def test_without_a_reading_the_status_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert shown(monkeypatch, Link(0.0, up=False, why="the cable is out")) == 1
    assert capsys.readouterr() == ("", "pourcoach: the cable is out\n")


def test_what_a_scale_cannot_mend_is_raised(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(WorkError, match="no such port"):
        shown(monkeypatch, *READINGS, WorkError("no such port"))


def test_what_was_dropped_is_known_of_a_live_scale_alone() -> None:
    behaviour = Behaviour(20.0, 10.0, 0.01, 0.1)
    assert live_figures(behaviour, FakeScale([]))["dropped"] is None
    live = open_scale("serial:/dev/ttyUSB0", lambda: 0.0)
    assert live_figures(behaviour, live)["dropped"] is None, "not before it is open"
