"""The wizard finds the weight in twenty layouts.

Found means: its first proposal reads weights it has never seen, heavy, light and (where that was
captured) below zero, while counters, clocks and batteries go on.

Both tens were written after the wizard. Of the first it found six at once, and was mended; of the
second, against the mended wizard, all ten with 200 g, and 29 of 30 over all weights and seeds.
"""
# A frame is made from grams, count and clock; few layouts use all three.
# ruff: noqa: ARG001

import random
import struct
from dataclasses import dataclass, field

import pytest

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.wire.capture import Capture
from pourcoach.wire.checksum import crc16_ccitt_false
from pourcoach.wire.described import decoder_for
from pourcoach.wire.description import Gatt, Transport
from pourcoach.wire.description_reader import read_description
from pourcoach.wire.description_writer import write_description
from pourcoach.wire.wizard import propose
from tests.wire.unknown_scale import FrameOf, captured

GATT = Gatt("0000fff0-0000-1000-8000-00805f9b34fb", "0000fff1-0000-1000-8000-00805f9b34fb")


def xor8(data: bytes) -> bytes:
    parity = 0
    for byte in data:
        parity ^= byte
    return bytes([parity])


def sum8(data: bytes) -> bytes:
    return bytes([sum(data) % 256])


def battery(count: int, full: int = 96) -> int:
    """Falls by one in two hundred readings."""
    return full - count // 200 % 50


def big_24_bit_with_status_battery_and_xor(grams: float, count: int, ms: int) -> bytes:
    body = b"\x03\x0b\x01" + round(grams * 10).to_bytes(3, "big", signed=True)
    body += bytes([battery(count)])
    return body + xor8(body)


def counter_and_little_float(grams: float, count: int, ms: int) -> bytes:
    return bytes([count % 256]) + struct.pack("<f", grams) + bytes([battery(count)])


def big_16_bit_then_counter_and_sum(grams: float, count: int, ms: int) -> bytes:
    body = b"\xfe" + struct.pack(">h", round(grams * 10)) + bytes([count % 256])
    return body + sum8(body)


def packed_decimal_between_marks(grams: float, count: int, ms: int) -> bytes:
    digits = f"{round(abs(grams) * 100):06d}"
    return b"\x02" + b"S" + bytes.fromhex(digits) + bytes([battery(count)]) + b"\x03"


def digits_as_text_without_line_ends(grams: float, count: int, ms: int) -> bytes:
    body = b"\x02" + f"{round(grams * 100):+08d}".encode() + b"\x03"
    return body + xor8(body)


def columns_with_counter_kilograms_and_battery(grams: float, count: int, ms: int) -> bytes:
    return f"{count:5d}, {grams / 1000:8.4f}, {battery(count)}%\r\n".encode()


def raw_counts_with_clock_and_crc(grams: float, count: int, ms: int) -> bytes:
    body = struct.pack("<Ii", ms, round(51234 + 437.3 * grams))
    return body + crc16_ccitt_false(body).to_bytes(2, "big")


def sign_apart_from_little_16_bit(grams: float, count: int, ms: int) -> bytes:
    tenths = round(grams * 10)
    body = bytes([0xD1, 1 if tenths < 0 else 0]) + struct.pack("<H", abs(tenths))
    body += bytes([0x67, battery(count)])
    return body + sum8(body)


def clock_then_little_32_bit_and_millivolts(grams: float, count: int, ms: int) -> bytes:
    body = b"\xaa\xbb" + struct.pack(">I", ms) + struct.pack("<i", round(grams * 1000))
    body += struct.pack("<H", 4100 - count // 100)
    return body + crc16_ccitt_false(body).to_bytes(2, "big")


def decimal_commas_beside_a_temperature(grams: float, count: int, ms: int) -> bytes:
    shown = f"{grams:.1f}".replace(".", ",")
    return f"T={23 + count % 3},{count % 10}; W={shown:>8}; ok\n".encode()


def crc8(data: bytes) -> bytes:
    """Polynomial 0x07: a kind that no description knows."""
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = (crc << 1 ^ 0x07 if crc & 0x80 else crc << 1) & 0xFF
    return bytes([crc])


def big_16_bit_first_and_an_unknown_checksum(grams: float, count: int, ms: int) -> bytes:
    body = struct.pack(">h", round(grams * 10)) + bytes([1, 0x40, battery(count)])
    return body + crc8(body)


def little_24_bit_with_a_sign_among_flags(grams: float, count: int, ms: int) -> bytes:
    hundredths = round(grams * 100)
    flags = 0x21 if hundredths < 0 else 0x01
    return bytes([flags]) + abs(hundredths).to_bytes(3, "little") + bytes([battery(count), 0])


def big_float_of_kilograms_and_a_partial_sum(grams: float, count: int, ms: int) -> bytes:
    body = bytes([8]) + struct.pack(">f", grams / 1000) + bytes([battery(count)])
    return b"\x55\xaa" + body + sum8(body)


def little_packed_decimal_with_counter(grams: float, count: int, ms: int) -> bytes:
    digits = bytes.fromhex(f"{round(abs(grams) * 10):08d}")[::-1]
    body = b"\xfd" + bytes([count % 256]) + digits
    return body + xor8(body)


def digits_without_a_point_in_lines(grams: float, count: int, ms: int) -> bytes:
    return f"GS{round(grams * 10):+08d},B{battery(count)}\r".encode()


def grams_beside_their_own_counts(grams: float, count: int, ms: int) -> bytes:
    return f"{ms}\t{grams:.2f}\t{round(8000 + 437 * grams)}\t{battery(count)}\n".encode()


def little_32_bit_among_other_notifications(grams: float, count: int, ms: int) -> bytes:
    if count % 5 == 0:
        return bytes([0x0B, battery(count), 0, 0, 0, 1])
    return b"\x0a\x07" + struct.pack("<iHH", round(grams * 100), count % 65536, 0)


def little_16_bit_of_ounces(grams: float, count: int, ms: int) -> bytes:
    body = b"\xa5\x02" + struct.pack("<h", round(grams / 28.349523125 * 100))
    return body + sum8(body)


def big_24_bit_counts_with_counter(grams: float, count: int, ms: int) -> bytes:
    body = b"\xc3" + struct.pack(">H", count % 65536)
    body += round(-31000 + 2097.15 * grams).to_bytes(3, "big", signed=True)
    return body + crc16_ccitt_false(body).to_bytes(2, "big")


def shifted_16_bit_beside_a_timer(grams: float, count: int, ms: int) -> bytes:
    return (
        b"\x10"
        + struct.pack("<H", ms // 1000 % 65536)
        + struct.pack(">H", round(grams * 10) + 10000)
    )


@dataclass(frozen=True)
class Unknown:
    frame_of: FrameOf
    transport: Transport
    step_g: float
    kwargs: dict = field(default_factory=dict)
    negative: bool = True


BLE, SERIAL = Transport.BLE, Transport.SERIAL
UNKNOWN = [
    Unknown(big_24_bit_with_status_battery_and_xor, BLE, 0.1),
    Unknown(counter_and_little_float, BLE, 0.001),
    Unknown(big_16_bit_then_counter_and_sum, SERIAL, 0.1),
    Unknown(packed_decimal_between_marks, SERIAL, 0.01, {"noise_g": 0.02}, negative=False),
    Unknown(digits_as_text_without_line_ends, SERIAL, 0.01),
    Unknown(columns_with_counter_kilograms_and_battery, SERIAL, 0.1),
    Unknown(raw_counts_with_clock_and_crc, BLE, 0.01),
    Unknown(sign_apart_from_little_16_bit, BLE, 0.1, {"below": True}),
    Unknown(clock_then_little_32_bit_and_millivolts, SERIAL, 0.001),
    Unknown(decimal_commas_beside_a_temperature, SERIAL, 0.1),
]
UNKNOWN += [
    Unknown(big_16_bit_first_and_an_unknown_checksum, BLE, 0.1),
    Unknown(little_24_bit_with_a_sign_among_flags, BLE, 0.01, {"below": True}),
    Unknown(big_float_of_kilograms_and_a_partial_sum, SERIAL, 0.001),
    Unknown(little_packed_decimal_with_counter, SERIAL, 0.1, negative=False),
    Unknown(digits_without_a_point_in_lines, SERIAL, 0.1),
    Unknown(grams_beside_their_own_counts, SERIAL, 0.01),
    Unknown(little_32_bit_among_other_notifications, BLE, 0.01),
    Unknown(little_16_bit_of_ounces, SERIAL, 0.29),
    Unknown(big_24_bit_counts_with_counter, SERIAL, 0.01, {"hz": 80.0}),
    Unknown(shifted_16_bit_beside_a_timer, BLE, 0.1),
]
IDS = [unknown.frame_of.__name__ for unknown in UNKNOWN]


def described(unknown: Unknown, known_g: float, seed: int, **kwargs):
    capture = captured(
        unknown.frame_of,
        known_g=known_g,
        transport=unknown.transport,
        seed=seed,
        **(unknown.kwargs | kwargs),
    )
    gatt = GATT if unknown.transport is BLE else None
    return propose(capture, "bench", gatt=gatt)


def reads(description, unknown: Unknown, grams: float) -> list[float]:
    """What the description makes of weighings that were not in the capture, from its zero."""
    decoder = decoder_for(description)
    shown = []
    for number in range(9):
        sent = unknown.frame_of(grams, 5000 + number, 9_000_000 + 100 * number)
        shown += [reading.grams for reading in decoder.feed(sent, number / 10)]
    return shown


def assert_reads_weights_never_seen(unknown: Unknown, proposals) -> None:
    assert proposals
    description = proposals[0].description
    zero_g = reads(description, unknown, 0.0)[-1]
    tried = [37.4, 512.3, 1480.0, *([-88.8] if unknown.negative else [])]
    for grams in tried:
        shown = reads(description, unknown, grams)
        assert len(shown) >= 6
        # Raw counts are scaled by the weight put on, whose noise remains: a thousandth.
        slack_g = unknown.step_g + 0.001 * abs(grams)
        assert [one - zero_g for one in shown] == pytest.approx([grams] * len(shown), abs=slack_g)


@pytest.mark.parametrize("unknown", UNKNOWN, ids=IDS)
@pytest.mark.parametrize(("known_g", "seed"), [(200.0, 1), (150.0, 2), (500.0, 3)])
def test_the_first_proposal_reads_weights_never_seen(unknown, known_g, seed):
    assert_reads_weights_never_seen(unknown, described(unknown, known_g, seed))


# Raw counts never hold still: without their noise nothing tells which byte is lowest.
DISPLAYS = [one for one in UNKNOWN if "counts_with" not in one.frame_of.__name__]


@pytest.mark.parametrize("unknown", DISPLAYS, ids=[one.frame_of.__name__ for one in DISPLAYS])
def test_a_display_that_holds_quite_still_is_read_as_well(unknown):
    assert_reads_weights_never_seen(unknown, described(unknown, 200.0, 1, noise_g=0.0))


@pytest.mark.parametrize("unknown", UNKNOWN, ids=IDS)
def test_what_is_proposed_can_be_written_and_read_again(unknown):
    for proposal in described(unknown, 200.0, 1):
        assert read_description(write_description(proposal.description)) == proposal.description


def test_a_scale_that_tells_nothing_of_the_weight_gives_no_proposal():
    def deaf(grams: float, count: int, ms: int) -> bytes:
        return b"\xaa" + bytes([count % 256, battery(count), 7])

    assert propose(captured(deaf), "deaf") == ()


def test_bytes_without_any_form_give_no_proposal():
    chance = random.Random(4)

    def noise(grams: float, count: int, ms: int) -> bytes:
        return chance.randbytes(chance.randrange(3, 30))

    assert propose(captured(noise), "noise") == ()
    assert propose(captured(noise, transport=BLE), "noise", gatt=GATT) == ()


def test_lines_that_tell_their_own_form_need_no_pattern():
    def bench(grams: float, count: int, ms: int) -> bytes:
        return f"ST,GS,{grams:+9.1f} g\r\n".encode()

    first = propose(captured(bench), "bench")[0]
    assert first.description.line is None
    assert first.shown_g == pytest.approx(200.0, abs=0.1)


def test_a_cell_turned_round_gets_a_negative_factor():
    def turned(grams: float, count: int, ms: int) -> bytes:
        body = b"\xaa\x01" + struct.pack("<i", round(9000 - 420 * grams))
        return body + sum8(body)

    first = propose(captured(turned), "turned")[0]
    assert first.description.factor == pytest.approx(-1 / 420, rel=0.001)
    assert any("in no usual unit" in doubt for doubt in first.doubts)


def test_a_sign_that_was_not_seen_is_a_doubt():
    hidden = captured(sign_apart_from_little_16_bit, transport=BLE)
    first = propose(hidden, "bench", gatt=GATT)[0]
    assert any("below zero was not seen" in doubt for doubt in first.doubts)


def test_too_light_a_weight_is_refused():
    with pytest.raises(UsageError, match="too light"):
        propose(captured(counter_and_little_float, known_g=5.0), "x")


def test_too_little_heard_is_told_with_when():
    whole = captured(counter_and_little_float)
    with pytest.raises(WorkError, match="with the weight"):
        propose(Capture(200.0, whole.off, whole.on[:3], whole.off_again), "x")
