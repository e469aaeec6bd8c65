import itertools
import re
from pathlib import Path

import pytest

from pourcoach.cli.main import main

LINE = re.compile(r"(\S+)  (\d+:\d\d) +(-?\d+) g  ([A-Z?]+)")


SHORT = ["--dose", "5", "--water", "30", "--bloom-wait", "15", "--pours", "1"]


def test_plain_gives_a_line_a_change_of_word_and_names_a_station_that_cannot_begin(
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
        (recording,) = re.findall(rf"^The recording of {name} is (.*)$", out, re.MULTILINE)
        assert Path(recording).is_file()
    assert err.startswith("pourcoach: station 3: there is no serial port /dev/nothere")
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    "options", [[], ["--station", "1"], ["--station", "1=x:y"], ["--station", "1=sim:a", "1=sim:b"]]
)
def test_wrong_use_is_one_line(options: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "--plain", *options]) == 2
    assert capsys.readouterr().err.count("\n") == 1
