import itertools
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from pourcoach.cli import classroom
from pourcoach.cli.main import main
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.session.classroom.lesson import USUAL_LESSON, read_lesson
from pourcoach.sharing.seen import SeenStation

LINE = re.compile(r"(\S+)  (\d+:\d\d) +(-?\d+) g  ([A-Z?]+)")


SHORT = ["--dose", "5", "--water", "30", "--bloom-wait", "15", "--pours", "1"]


def test_plain_gives_a_line_a_change_of_word_and_names_a_station_that_cannot_begin(
    home: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    stations = ["1=sim:steady?speed=100", "2=sim:hasty?seed=3&speed=100", "3=serial:/dev/nothere"]
    assert main(["class", "--plain", *SHORT, "--station", *stations]) == 1
    out, err = capsys.readouterr()
    for name in "12":
        lines = [match for match in map(LINE.match, out.splitlines()) if match and match[1] == name]
        words = [match[4] for match in lines]
        assert words[0] == "READY"
        assert words[-1] == "DONE"
        assert all(before != after for before, after in itertools.pairwise(words))
        (recording,) = re.findall(rf" {name}: (.*)$", out, re.MULTILINE)
        assert (home / "tapes" / f"{recording}.jsonl").is_file()
    assert err.startswith("pourcoach: station 3: there is no serial port /dev/nothere")
    assert err.count("\n") == 1


LESSON = """
title = "Even pours"
[plan]
dose_g = 5
water_g = 30
bloom_wait_s = 15
pours = 1
[[station]]
name = "1"
scale = "sim:steady?speed=100"
person = "Ada"
group = "left"
[[station]]
name = "2"
scale = "sim:steady?speed=100&seed=3"
person = "Ben"
"""


def test_a_lesson_from_beginning_to_end(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "lesson.toml"
    file.write_text(LESSON)
    assert main(["class", "--plain", "--lesson", str(file)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    parts = (
        "Even pours",
        "Before we begin:",
        "  BLOOM",
        "WHEN ",
        "Group left",
        "No group",
        "Afterwards:",
    )
    at = [out.index(part) for part in parts]
    assert at == sorted(at)
    for person in ("Ada", "Ben"):
        assert len(re.findall(rf"^\S+ \S+  {person} .* 30 g ", out, re.MULTILINE)) == 1
    with Library(library_path()) as library:
        assert sorted(str(brew.by) for brew in find_brews(library)) == ["Ada", "Ben"]


def test_the_usual_lesson_can_be_changed_and_used(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "--show-lesson"]) == 0
    assert read_lesson(capsys.readouterr().out).title == "Even pours"


def test_a_lesson_that_names_an_unknown_drill_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "lesson.toml"
    file.write_text("[practise]\ndrills = ['nothing']\n")
    assert main(["class", "--plain", "--lesson", str(file)]) == 1
    err = capsys.readouterr().err
    assert "lesson.toml: there is no drill 'nothing'" in err
    assert err.count("\n") == 1


def test_a_drill_needs_the_wall_for_its_estimate(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "lesson.toml"
    file.write_text("[[station]]\nname = '1'\nscale = 'sim:learning'\ndrill = 'landing'\n")
    assert main(["class", "--plain", "--lesson", str(file)]) == 2
    err = capsys.readouterr().err
    assert "an estimate, which is typed on the wall" in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    "options", [[], ["--station", "1"], ["--station", "1=x:y"], ["--station", "1=sim:a", "1=sim:b"]]
)
def test_wrong_use_is_one_line(options: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "--plain", *options]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_class_list_of_a_lesson(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "lesson.toml"
    file.write_text(USUAL_LESSON)
    assert main(["class", "--lesson", str(file), "--people"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[:3] for line in lines[:4]] == [
        ["GROUP", "WHO", "BREWS"],
        ["morning", "Ada", "0"],
        ["morning", "Ben", "0"],
        ["morning", "Cleo", "0"],
    ]
    file.write_text("title = 'Nobody'\n")
    assert main(["class", "--lesson", str(file), "--people"]) == 0
    assert "Nobody is named" in capsys.readouterr().out
    assert main(["class", "--people"]) == 2


class NoticedBoard:
    """A room in which a notice comes, stays, goes and comes again, and which is then left."""

    def __init__(self, notices: list[str | None], stop: Callable[[], None]) -> None:
        self._notices = notices
        self._stop = stop
        self.notice: str | None = None

    def seen(self) -> list[SeenStation]:
        if self._notices:
            self.notice = self._notices.pop(0)
        else:
            self._stop()
        return []


async def test_a_notice_is_said_once_each_time_that_it_comes(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stops: list[Callable[[], None]] = []
    monkeypatch.setattr(classroom, "LOOK_EVERY_S", 0.001)
    monkeypatch.setattr(classroom, "on_stop_signals", stops.append)
    gone = "no connection to the broker"
    await classroom._follow(NoticedBoard([None, gone, gone, None, gone], lambda: stops[0]()))
    assert capsys.readouterr().err == 2 * f"pourcoach: {gone}\n"
