"""The reference firmware, unchanged, under MicroPython's Unix port: converter to reader."""

import asyncio
import json
import statistics
import time
from collections.abc import Iterator
from itertools import pairwise

import pytest

from pourcoach.cli.main import DONE, main
from pourcoach.domain.inputs import Reading
from pourcoach.scales.open import open_scale
from pourcoach.session.clock import Clock
from pourcoach.wire.lines.line_decoder import LineDecoder
from tests.firmware_notes.board import MICROPYTHON, PATIENCE_S, Board

pytestmark = pytest.mark.skipif(
    MICROPYTHON is None,
    reason="no MicroPython on the path: the dev extra has it for Python 3.11 on Linux x86-64 only",
)


@pytest.fixture
def board(tmp_path) -> Iterator[Board]:
    board = Board(tmp_path / "load")
    yield board
    board.stop()


async def test_a_hundred_readings_through_a_port_in_sequence_and_a_tare_back(board):
    """Fake converter, firmware, pseudo-terminal, pyserial, decoder; and the command back."""
    readings: list[Reading] = []
    board.start()
    address = f"serial:{board.port}"
    async with open_scale(address, Clock().now) as scale, asyncio.timeout(PATIENCE_S):
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
    gaps_s = [two.device_s - one.device_s for one, two in pairwise(readings)]
    # The median: a machine that is busy elsewhere may let a conversion pass.
    assert statistics.median(gaps_s) == pytest.approx(1 / 80, abs=0.001)


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
    assert statistics.median(spans_s) == pytest.approx(0.1, abs=0.02)
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
    time.sleep(0.5)
    board.load(6)
    heard += board.hear(lambda heard: b",6.00" in heard and heard.endswith(b"\n"))
    decoder = LineDecoder()
    assert {reading.grams for reading in decoder.feed(heard, 0.0)} == {5.0, 6.0}
    assert decoder.missed >= 1  # how many depends on how often the machine let the board run


def test_bluetooth_advertises_the_service_and_splits_lines_at_twenty_bytes(
    board, tmp_path, monkeypatch
):
    radio = tmp_path / "radio.txt"
    monkeypatch.setenv("FAKE_RADIO", str(radio))
    board.start(load=7)
    board.hear_lines(10)
    notes = [line.split(" ") for line in radio.read_text().splitlines(keepends=False)]
    sent = {kind: bytes.fromhex(data) for kind, data in notes if kind != "notify"}
    service = bytes.fromhex("6e400001b5a3f393e0a9e50e24dcca9e")
    assert sent["advertise"] == b"\x02\x01\x06\x11\x07" + service[::-1]
    assert sent["answer"] == b"\x0b\x09pour-scale"
    pieces = [bytes.fromhex(data) for kind, data in notes if kind == "notify"]
    assert max(len(piece) for piece in pieces) == 20
    decoder = LineDecoder()
    readings = [reading for piece in pieces for reading in decoder.feed(piece, 0.0)]
    assert {reading.grams for reading in readings} == {7.0}
    assert decoder.about["firmware"] == "pourcoach-reference"
    assert not decoder.dropped


class Helper:
    """Puts on what is asked for, at the terminal of a guided calibration."""

    def __init__(self, board: Board) -> None:
        self._board = board

    def say(self, text: str) -> None:
        pass

    async def ask(self, text: str) -> str:
        self._board.load(float(text.split()[1]) if text.startswith("Put") else 0.0)
        return ""


def test_calibrated_from_counts_it_is_read_in_grams(board, tmp_path, monkeypatch, capsys):
    """The command, the port, the firmware's counts mode and the saved calibration together."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    monkeypatch.setattr(
        "pourcoach.cli.console.terminal_asker.TerminalAsker", lambda stream: Helper(board)
    )
    monkeypatch.setattr("pourcoach.session.weighing.bench.REST_S", 0.3)
    board.start()
    address = f"serial:{board.port}"
    argv = ["calibrate", "--scale", address, "--weights", "200,500", "--json", "--no-config"]
    assert main(argv) == DONE
    figures = json.loads(capsys.readouterr().out)
    assert figures["counts_per_g"] == pytest.approx(1000.0)
    assert figures["empty_counts"] == pytest.approx(-5000.0)

    async def first_gram() -> float:
        board.load(321.5)
        async with open_scale(address, Clock().now) as scale, asyncio.timeout(PATIENCE_S):
            async for item in scale:
                if isinstance(item, Reading) and item.grams > 300:
                    return item.grams
        raise AssertionError

    assert asyncio.run(first_gram()) == pytest.approx(321.5)


def test_two_interrupts_in_a_row_give_the_prompt_back_and_one_does_not(board):
    board.start(load=5)
    board.hear_lines(2)
    board.interrupt()
    board.say("about")
    heard = board.hear(lambda heard: b"a,firmware" in heard and heard.endswith(b"\n"))
    board.interrupt()
    heard += board.hear_lines(3)
    assert {reading.grams for reading in LineDecoder().feed(heard, 0.0)} == {5.0}
    board.interrupt(2)
    assert board.ended() == 0
