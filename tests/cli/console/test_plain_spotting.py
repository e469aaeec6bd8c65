"""A sitting of spotting faults as text."""

from datetime import datetime
from pathlib import Path

import pytest

from pourcoach.cli.console.plain_spotting import PlainSpotting
from pourcoach.practice.spotting.trial import SpotKind
from pourcoach.session.practice.spotting import SpotCourse

STALL = Path(__file__).parents[3] / "recordings" / "stall.jsonl"
NOON = datetime.fromisoformat("2026-01-15T12:00:00+00:00")


@pytest.mark.parametrize("key", ["s", "S", " "])
async def test_a_key_says_that_something_is_wrong_and_a_number_what(
    key: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    course = SpotCourse(by="Ada", seed=0, trials=1, speed=100.0, recordings=[STALL])
    said: list[str] = []

    def say(line: str) -> None:
        said.append(line)
        if line.startswith("0:40"):
            sitting.take(key)
            sitting.take("2")

    sitting = PlainSpotting(course, say, lambda: NOON)
    await sitting.run()
    assert any(line.startswith("What is it?") for line in said)
    (trial,) = course.made
    assert [press.named for press in trial.presses] == [SpotKind.STALL]
