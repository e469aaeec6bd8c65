"""The tapes in ``recordings/`` are what the commands in its README make."""

import gzip
import shlex
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, main
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading
from pourcoach.recordings.fold import frames
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.tape import read_tape
from pourcoach.session.replay.replay import ReplaySession

FOLDER = Path(__file__).parents[2] / "recordings"
README = (FOLDER / "README.md").read_text(encoding="utf-8")
COMMANDS = {
    words[words.index("--out") + 1].removeprefix("recordings/"): words[3:]
    for words in map(shlex.split, README.splitlines())
    if words[:3] == ["python", "-m", "pourcoach"] and "--out" in words
}


SHOWN: dict[str, set[FlagKind]] = {
    "steady.jsonl": set(),
    "steady-80hz.jsonl.gz": set(),
    "steady-radio.jsonl": set(),
    "uneven.jsonl": {FlagKind.UNEVEN},
    "stall.jsonl": {FlagKind.STALL},
    "surge.jsonl": {FlagKind.SURGE},
    "overshoot.jsonl": {FlagKind.OVERSHOOT},
    "light-bloom.jsonl": {FlagKind.BLOOM_LIGHT},
    "rushed-bloom.jsonl": {FlagKind.BLOOM_SHORT},
    "knocks-and-lift.jsonl.gz": {FlagKind.DISTURBED, FlagKind.LIFTED},
    "dropout.jsonl": {FlagKind.GAP},
    "slow-drain.jsonl": {FlagKind.SLOW_DRAIN},
    "hasty.jsonl": {FlagKind.BLOOM_SHORT, FlagKind.FAST_POUR, FlagKind.OVERSHOOT},
}


def text_of(path: Path) -> str:
    # What a packed tape holds, not how: another library packs into other bytes.
    data = path.read_bytes()
    return (gzip.decompress(data) if path.suffix == ".gz" else data).decode()


def test_every_tape_has_its_command_and_its_line() -> None:
    names = {path.name for path in tapes_in(FOLDER)}
    assert names == set(COMMANDS)
    assert len(names) >= 8
    for name in names:
        assert f"| `{name}` | " in README


@pytest.mark.parametrize("name", COMMANDS)
def test_its_command_makes_the_tape_again(name: str, tmp_path: Path) -> None:
    argv = list(COMMANDS[name])
    argv[argv.index("--out") + 1] = str(tmp_path / name)
    assert main(argv) == DONE
    assert text_of(tmp_path / name) == text_of(FOLDER / name)


@pytest.mark.parametrize("name", COMMANDS)
def test_its_rate_and_step_are_those_it_claims(name: str) -> None:
    tape = read_tape(FOLDER / name)
    assert tape.problem is None
    assert tape.end_s is not None
    assert all(isinstance(item, Reading) for item in tape.inputs)
    rate_hz, resolution_g = tape.header.scale["rate_hz"], tape.header.scale["resolution_g"]
    assert f"| `{name}` | {rate_hz:g} Hz, {resolution_g:g} g | " in README
    assert len(tape.inputs) == pytest.approx(tape.end_s * rate_hz, rel=0.02)


@pytest.fixture(scope="module", params=COMMANDS)
def analysed(request: pytest.FixtureRequest) -> tuple[str, list[Frame]]:
    """A recording's name and its Frames, worked out once for the tests that look at them."""
    return request.param, list(frames(read_tape(FOLDER / request.param)))


def test_it_shows_its_own_fault_and_no_other(analysed: tuple[str, list[Frame]]) -> None:
    name, seen = analysed
    assert {flag.kind for flag in seen[-1].flags} == SHOWN[name]


async def test_it_replays_to_the_frames_of_its_analysis(
    analysed: tuple[str, list[Frame]],
) -> None:
    name, expected = analysed
    seen: list[Frame] = []
    await ReplaySession(read_tape(FOLDER / name), speed=1e6).run(seen.append)
    assert seen == expected
