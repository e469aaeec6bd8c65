"""The recordings that come with the program: found from anywhere, each with what it shows."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.shipped import (
    find_recording,
    shipped_folder,
    shipped_recordings,
    stem_of,
)

TOP = Path(__file__).parents[2]
RECORDINGS = TOP / "recordings"


def test_each_has_a_title_and_what_to_see_in_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    cards = shipped_recordings()
    assert shipped_folder() == RECORDINGS
    assert set(cards) == set(tapes_in(RECORDINGS))
    titles = [card.title for card in cards.values()]
    assert len(set(titles)) == len(titles)
    assert all(card.see.endswith(".") for card in cards.values())


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("stall", RECORDINGS / "stall.jsonl"),
        ("stall.jsonl", RECORDINGS / "stall.jsonl"),
        ("knocks-and-lift", RECORDINGS / "knocks-and-lift.jsonl.gz"),
        ("mine", Path("tapes/mine.jsonl")),
        ("here.jsonl", Path("here.jsonl")),
        ("none/there.jsonl", Path("none/there.jsonl")),
    ],
)
def test_a_recording_is_found_by_its_name(
    name: str, found: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A path that is none is left to whoever reads it, to say so."""
    monkeypatch.chdir(tmp_path)
    Path("tapes").mkdir()
    for path in ("tapes/mine.jsonl", "here.jsonl"):
        Path(path).touch()
    assert find_recording(name, [Path("tapes")]) == found


def test_a_name_that_is_none_says_which_there_are(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match=r"there is no file stal; .*steady-80hz.*stall"):
        find_recording("stal", [tmp_path])


def test_a_stem() -> None:
    assert [stem_of(Path(name)) for name in ("a.jsonl", "b.jsonl.gz", "c")] == ["a", "b", "c"]


def test_an_installed_wheel_has_them(tmp_path: Path) -> None:
    """Built, unpacked as an installer does, and run from elsewhere."""
    pytest.importorskip("hatchling", reason="needs hatchling, to build the wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)],
        cwd=TOP,
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(site)
    script = "from pourcoach.recordings.shipped import *\nprint(*shipped_recordings(), sep='\\n')"
    listed = subprocess.run(
        [sys.executable, "-c", script],
        cwd=tmp_path,
        env={"PYTHONPATH": str(site)},
        check=True,
        capture_output=True,
        text=True,
    ).stdout.split()
    assert {Path(path).parent for path in listed} == {site / "pourcoach/recordings/shipped"}
    assert [Path(path).name for path in listed] == [path.name for path in shipped_recordings()]
    assert all(Path(path).is_file() for path in listed)
