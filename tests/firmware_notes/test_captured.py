"""The captured bytes that the notes show decode to what the notes say."""

from pathlib import Path

import pytest

from pourcoach.wire.decoder import DropReason
from pourcoach.wire.lines.line_decoder import LineDecoder

CAPTURED = Path(__file__).parents[2] / "firmware_notes" / "captured"

CASES = [
    ("plain.txt", [12.8, 13.4, -0.4], {DropReason.CUT: 1, DropReason.OUT_OF_RANGE: 1}),
    (
        "plain-comma.txt",
        [12.34, 12.34, 0.44 * 28.349523125],
        {DropReason.CUT: 1, DropReason.NO_NUMBER: 1},
    ),
    ("checked.txt", [0.0] * 22, {DropReason.CUT: 1}),
    ("corners.txt", [0.0] * 4 + [123.45] * 5, {}),
    ("counts.txt", [], {DropReason.COUNTS: 8}),
    ("saturated.txt", [12.5] * 3 + [15.0] * 10, {}),
]


def test_every_captured_file_is_checked():
    assert {path.name for path in CAPTURED.glob("*.txt")} == {name for name, _, _ in CASES}


@pytest.mark.parametrize(("name", "grams", "dropped"), CASES, ids=[case[0] for case in CASES])
@pytest.mark.parametrize("cut", [1, 7, 4096])
def test_captured_bytes_decode_as_stated(name, grams, dropped, cut):
    decoder = LineDecoder()
    data = (CAPTURED / name).read_bytes()
    readings = [
        reading
        for start in range(0, len(data), cut)
        for reading in decoder.feed(data[start : start + cut], 1.0)
    ]
    assert [reading.grams for reading in readings] == pytest.approx(grams, abs=1e-9)
    assert dict(decoder.dropped) == dropped


def test_checked_lines_give_their_own_time_and_what_was_lost():
    decoder = LineDecoder()
    readings = decoder.feed((CAPTURED / "saturated.txt").read_bytes(), 1.0)
    assert [reading.device_s for reading in readings[:4]] == [0.699, 0.799, 0.899, 1.999]
    assert decoder.missed == 10


def test_corner_weights_stand_beside_their_sum():
    readings = LineDecoder().feed((CAPTURED / "corners.txt").read_bytes(), 1.0)
    assert readings[-1].corners_g == (20.57, 41.15, 61.73)


def test_about_gives_rate_and_settling():
    decoder = LineDecoder()
    decoder.feed((CAPTURED / "checked.txt").read_bytes(), 1.0)
    assert decoder.about == {
        "firmware": "pourcoach-reference",
        "version": "1",
        "rate_hz": "80",
        "settle_ms": "50",
        "delay_ms": "25",
        "cells": "1",
    }
