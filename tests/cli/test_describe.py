from contextlib import asynccontextmanager
from dataclasses import replace

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main
from pourcoach.scales.known.descriptions import find_description
from tests.session.fake_bench import FakeBenchScale, FakePerson
from tests.session.fake_sending import in_its_own_time
from tests.session.weighing.test_describing import SCRIPT

ARGV = ["scales", "describe", "serial:/dev/ttyFAKE7?baud=9600", "--weight", "200"]


@pytest.fixture
def bench(monkeypatch):
    """A scale on a port that sends frames of its own, and who stands at it."""
    scale = FakeBenchScale()

    def frames(grams: float, count: int) -> list[tuple[None, bytes]]:
        body = (
            b"\xaa\x55" + round(grams * 10).to_bytes(2, "big", signed=True) + bytes([count % 256])
        )
        return [(None, body + bytes([sum(body) % 256]))]

    sent = in_its_own_time(monkeypatch)(scale, frames)

    @asynccontextmanager
    async def overhear(_address, _now, on_heard, on_lost):
        async with sent(on_heard, on_lost):
            yield

    monkeypatch.setattr("pourcoach.scales.raw_bytes.overhear", overhear)

    def answering(*last: tuple[str, float | None, str], listening: bool = True) -> FakePerson:
        script = [*SCRIPT, ("less than nothing", -200.0, "")] if listening else []
        person = FakePerson(scale, [*script, *last])
        monkeypatch.setattr("pourcoach.cli.describe.TerminalAsker", lambda stream: person)
        return person

    return answering


def test_the_first_proposal_is_written_and_can_be_used(bench, capsys):
    bench(("Which one?", None, ""))
    assert main([*ARGV, "--name", "bench"]) == DONE
    description = find_description("bench")
    assert description.serial.baud == 9600
    assert (description.factor, description.unit) == (0.1, "g")
    assert description.layout.start == b"\xaa\x55"
    assert (description.layout.weight.offset, description.layout.weight.order) == (2, "big")
    assert "baud=9600&as=bench" in capsys.readouterr().out
    bench()
    assert main([*ARGV, "--name", "bench"]) == FAILED
    assert "is there already" in capsys.readouterr().err


def test_bytes_that_were_kept_give_the_same_description(bench, tmp_path):
    kept = tmp_path / "heard.json"
    bench(("Which one?", None, ""))
    assert main([*ARGV, "--name", "live", "--raw", str(kept)]) == DONE
    bench(("Which one?", None, ""), listening=False)
    again = ["scales", "describe", "serial:/dev/ttyFAKE7?baud=9600", "--from", str(kept)]
    assert main([*again, "--name", "again"]) == DONE
    assert replace(find_description("again"), name="live") == find_description("live")
    assert main([*again, "--name", "third", "--raw", str(tmp_path / "raw.json")]) == WRONG_USE


@pytest.mark.parametrize("text", ["", "[]", '{"pourcoach_capture": 1, "sources": [1]}'])
def test_a_broken_capture_is_reported(text, tmp_path, capsys):
    path = tmp_path / "x.json"
    path.write_text(text)
    assert main([*ARGV[:3], "--name", "x", "--from", str(path)]) == FAILED
    assert f"{path}: " in (err := capsys.readouterr().err)
    assert "capture of a scale" in err


def test_none_of_them_writes_nothing(bench, home):
    bench(("Which one?", None, "9"), ("Which one?", None, "n"))
    assert main([*ARGV, "--name", "bench"]) == FAILED
    assert not (home / "scales" / "bench.toml").exists()


WRONG = [
    ([*ARGV, "--name", "a/b"], "no name for a description"),
    (["scales", "describe", "serial:X", "--weight", "5", "--name", "a"], "is not 20 to"),
    ([*ARGV[:3], "--name", "a"], "no weight is named"),
    (["scales", "describe", "sim:steady", "--weight", "200", "--name", "a"], "no bytes"),
]


@pytest.mark.parametrize(("argv", "words"), WRONG)
def test_wrong_use_is_one_line(argv, words, capsys):
    assert main(argv) == WRONG_USE
    assert words in capsys.readouterr().err
