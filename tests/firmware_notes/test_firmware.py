"""The reference firmware, unchanged, under MicroPython's Unix port: converter to reader."""

import asyncio
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.scales.open import open_scale
from pourcoach.session.clock import Clock
from pourcoach.wire.line_decoder import LineDecoder

FIRMWARE = Path(__file__).parents[2] / "firmware_notes" / "firmware"
FAKE_BOARD = Path(__file__).with_name("fake_board.py")
MICROPYTHON = shutil.which("micropython", path=str(Path(sys.executable).parent))

pytestmark = pytest.mark.skipif(
    MICROPYTHON is None,
    reason="no MicroPython here: its Unix port comes as a wheel for Python 3.11 on Linux only",
)


class Board:
    """The firmware's process, with its converter's load and its serial line in our hands."""

    def __init__(self, load_file: Path) -> None:
        self.port = ""
        self._load_file = load_file
        self._heard = b""
        self._process: subprocess.Popen[bytes] | None = None
        self._ours, self._theirs = os.openpty()
        import tty

        tty.setraw(self._theirs)

    def load(self, grams: float | str) -> None:
        new = self._load_file.with_suffix(".new")
        new.write_text(str(grams))
        new.replace(self._load_file)

    def start(self, load: float | str = 0, *, hz: int = 80, cells: int = 1) -> None:
        self.load(load)
        self.port = os.ttyname(self._theirs)
        self._process = subprocess.Popen(
            [MICROPYTHON, FAKE_BOARD, FIRMWARE, str(hz), self._load_file, str(cells)],
            stdin=self._ours,
            stdout=self._ours,
        )

    def say(self, *lines: str) -> None:
        os.write(self._theirs, "".join(line + "\n" for line in lines).encode())

    def hear(self, enough: Callable[[bytes], bool]) -> bytes:
        """What it has sent since the last time, once it is enough."""
        until_s = time.monotonic() + 5
        os.set_blocking(self._theirs, False)
        while not enough(self._heard):
            assert time.monotonic() < until_s, self._heard
            try:
                self._heard += os.read(self._theirs, 4096)
            except BlockingIOError:
                time.sleep(0.01)
        heard, self._heard = self._heard, b""
        return heard

    def hear_lines(self, count: int, kind: bytes = b"w,") -> bytes:
        return self.hear(lambda heard: heard.endswith(b"\n") and heard.count(kind) >= count)

    def stop(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.wait()
        os.close(self._theirs)
        os.close(self._ours)


@pytest.fixture
def board(tmp_path) -> Iterator[Board]:
    board = Board(tmp_path / "load")
    yield board
    board.stop()


async def test_a_hundred_readings_through_a_port_in_sequence_and_a_tare_back(board):
    """Fake converter, firmware, pseudo-terminal, pyserial, decoder; and the command back."""
    readings: list[Reading] = []
    board.start()
    async with open_scale(f"serial:{board.port}", Clock().now) as scale, asyncio.timeout(20):
        async for item in scale:
            assert isinstance(item, Reading)
            readings.append(item)
            if len(readings) == 30:
                board.load(100)
            elif len(readings) == 60:
                assert await scale.tare()
            elif len(readings) == 100:
                break
    first = readings[0].sequence
    assert [reading.sequence for reading in readings] == [first + n for n in range(100)]
    assert [readings[n].grams for n in (0, 59, 99)] == [0.0, 100.0, 0.0]
    span_s = readings[-1].device_s - readings[0].device_s
    assert span_s / 99 == pytest.approx(1 / 80, rel=0.02)


def test_a_lower_rate_is_the_mean_of_a_block_stamped_at_its_middle(board):
    """10 of 80 a second: spaced by 100 ms, and a step falls into one line by its own share."""
    board.start()
    board.hear_lines(2)
    board.say("rate 10")
    board.hear_lines(12)
    decoder = LineDecoder()
    sent = board.hear_lines(3)
    board.load(80)
    sent += board.hear_lines(5)
    readings = decoder.feed(sent, 0.0)
    spans_s = [two.device_s - one.device_s for one, two in pairwise(readings)]
    assert spans_s == pytest.approx([0.1] * len(spans_s), abs=0.02)
    levels = [reading.grams for reading in readings]
    assert levels == sorted(levels)
    assert (levels[0], levels[-1]) == (0.0, 80.0)
    between = [grams for grams in levels if 0.0 < grams < 80.0]
    assert len(between) <= 1
    assert all(grams % 10 == 0 for grams in between)


def test_counts_can_be_asked_for_and_ended(board):
    board.start(load=2)
    heard = board.hear_lines(2)
    board.say("counts on")
    heard += board.hear_lines(2, b"c,")
    board.say("counts off")
    heard += board.hear_lines(2)
    grams, counts = LineDecoder(), LineDecoder(raw=True)
    weights = grams.feed(heard, 0.0)
    codes = counts.feed(heard, 0.0)
    assert {reading.grams for reading in weights} == {2.0}
    assert {reading.grams for reading in codes} == {2 * 1000 - 5000.0}
    assert weights[0].sequence < codes[0].sequence < weights[-1].sequence


def test_rubbish_from_the_host_changes_nothing(board):
    board.start(load=5)
    board.say("rate 0", "rate x", "rate", "tare tare", "counts", "\x03\x04", "x" * 500, "ABOUT")
    heard = board.hear(lambda heard: b"a,firmware" in heard and heard.endswith(b"\n"))
    heard += board.hear_lines(5)
    decoder = LineDecoder()
    assert {reading.grams for reading in decoder.feed(heard, 0.0)} == {5.0}
    assert (decoder.about["rate_hz"], decoder.about["settle_ms"]) == ("80", "50")


def test_corner_cells_are_read_on_one_clock(board):
    board.start(load=60, cells=3)
    readings = LineDecoder().feed(board.hear_lines(5), 0.0)
    assert {(reading.grams, reading.corners_g) for reading in readings} == {(60.0, (10, 20, 30))}


def test_a_saturated_converter_sends_no_weight(board):
    board.start(load=5)
    heard = board.hear_lines(5)
    board.load("SATURATED")
    board.say("about")
    heard += board.hear(lambda heard: b"a,firmware" in heard and heard.endswith(b"\n"))
    time.sleep(0.2)
    board.load(6)
    heard += board.hear(lambda heard: b",6.00" in heard and heard.endswith(b"\n"))
    decoder = LineDecoder()
    assert {reading.grams for reading in decoder.feed(heard, 0.0)} == {5.0, 6.0}
    assert decoder.missed >= 10


def test_bluetooth_advertises_the_service_and_splits_lines_at_twenty_bytes(
    board, tmp_path, monkeypatch
):
    radio = tmp_path / "radio.txt"
    monkeypatch.setenv("FAKE_RADIO", str(radio))
    board.start(load=7)
    board.hear_lines(10)
    notes = [line.split(" ") for line in radio.read_text().splitlines(keepends=False)]
    told = {kind: bytes.fromhex(data) for kind, data in notes if kind != "notify"}
    service = bytes.fromhex("6e400001b5a3f393e0a9e50e24dcca9e")
    assert told["advertise"] == b"\x02\x01\x06\x11\x07" + service[::-1]
    assert told["answer"] == b"\x0b\x09pour-scale"
    pieces = [bytes.fromhex(data) for kind, data in notes if kind == "notify"]
    assert max(len(piece) for piece in pieces) == 20
    decoder = LineDecoder()
    readings = [reading for piece in pieces for reading in decoder.feed(piece, 0.0)]
    assert {reading.grams for reading in readings} == {7.0}
    assert decoder.about["firmware"] == "pourcoach-reference"
    assert not decoder.dropped
