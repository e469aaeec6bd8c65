"""Ways of sending a weight that the wizard was not written for, in three tens and a dozen.

All were written after the wizard. At first sight its proposal with 200 g on was right for six of
the first ten, for all of the second and third, and for nine of the dozen; what was missing each
time was then added to it, and it finds all of them over all weights and seeds.
"""
# A frame is made from grams, count and clock; few layouts use all three.
# ruff: noqa: ARG001

import struct
from dataclasses import dataclass, field
from typing import Any

from pourcoach.wire.checksum import crc16_ccitt_false
from pourcoach.wire.description import Transport
from tests.wire.unknown_checks import crc8, crc16, modbus, sum8, xor8
from tests.wire.unknown_scale import FrameOf


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


def little_counter_then_big_32_bit(grams: float, count: int, ms: int) -> bytes:
    body = b"\xa0" + struct.pack("<H", count % 65536)
    return body + struct.pack(">i", round(grams * 100)) + bytes([4, battery(count)])


def kilograms_between_marks_in_lines(grams: float, count: int, ms: int) -> bytes:
    return f"\x02ST,{grams / 1000:+010.5f}kg\x03\r".encode()


def columns_between_commas(grams: float, count: int, ms: int) -> bytes:
    return f"W,{grams:.1f},G,{count % 2},{98.6 - count / 1000:.1f}\n".encode()


def half_grams(grams: float, count: int, ms: int) -> bytes:
    return struct.pack("<hBB", round(grams * 2), battery(count), 0x11)


def tenths_beside_a_temperature(grams: float, count: int, ms: int) -> bytes:
    body = struct.pack("<Bhh", 5, round(grams * 10), 231 + count // 40 % 7)
    return b"\x5a" + body + xor8(body)


def packed_decimal_with_a_sign_byte(grams: float, count: int, ms: int) -> bytes:
    tenths = round(grams * 10)
    digits = bytes.fromhex(f"{abs(tenths):06d}")
    return bytes([0xFF if tenths < 0 else 0x00]) + digits + bytes([battery(count)])


def second_of_two_channels(grams: float, count: int, ms: int) -> bytes:
    return f"A:{12.3 + count % 3 / 10:+07.1f} B:{grams:+07.1f}\r\n".encode()


def little_24_bit_between_equal_marks(grams: float, count: int, ms: int) -> bytes:
    body = round(grams * 100).to_bytes(3, "little", signed=True) + struct.pack("<I", ms)
    return b"\x7e" + body + sum8(body) + b"\x7e"


def text_in_notifications_without_line_ends(grams: float, count: int, ms: int) -> bytes:
    return f"{grams:8.1f}g".encode()


def thousandths_of_a_pound(grams: float, count: int, ms: int) -> bytes:
    body = b"\xeb\x90" + bytes([count % 256]) + struct.pack(">h", round(grams / 453.59237 * 1000))
    return body + crc16_ccitt_false(body).to_bytes(2, "big")


def celsius(count: int) -> float:
    """A cell's own temperature, which creeps."""
    return 23.4 + count // 40 % 7 / 10


def weight_and_temperature_in_two_columns(grams: float, count: int, ms: int) -> bytes:
    return f"{grams:8.2f} {celsius(count):6.2f}\r\n".encode()


def temperature_before_weight_with_commas(grams: float, count: int, ms: int) -> bytes:
    shown = f"{celsius(count):.1f};{grams:.1f}"
    return f"{shown.replace('.', ',')}\n".encode()


def json_lines(grams: float, count: int, ms: int) -> bytes:
    return f'{{"weight": {grams:.1f}, "unit": "g", "stable": true}}\n'.encode()


def json_lines_with_clock_and_battery(grams: float, count: int, ms: int) -> bytes:
    fields = f'"t":{ms},"bat":{battery(count)},"kg":{grams / 1000:.5f},"temp":{celsius(count):.1f}'
    return f"{{{fields}}}\r\n".encode()


def labelled_fields(grams: float, count: int, ms: int) -> bytes:
    return f"WT1={grams:+08.1f} TP2={celsius(count):05.1f} BT3={battery(count)}\n".encode()


def net_tare_and_gross(grams: float, count: int, ms: int) -> bytes:
    kilograms = f"{grams / 1000:.4f}"
    return f"N {kilograms}kg T 0.0000kg G {kilograms}kg\r\n".encode()


def a_sentence_with_a_check(grams: float, count: int, ms: int) -> bytes:
    body = f"WGT,{grams:.2f},g,{count % 100:02d}".encode()
    return b"$" + body + b"*" + f"{xor8(body)[0]:02X}\r\n".encode()


def answers_of_a_fieldbus(grams: float, count: int, ms: int) -> bytes:
    body = b"\x01\x03\x04" + struct.pack(">i", round(grams * 100))
    return body + modbus(body)


def little_32_bit_and_another_crc(grams: float, count: int, ms: int) -> bytes:
    body = b"\x5a" + struct.pack("<iB", round(grams * 100), battery(count))
    return body + crc16(body, 0x1021, 0, reflected=False).to_bytes(2, "big")


def big_24_bit_and_a_reflected_crc(grams: float, count: int, ms: int) -> bytes:
    body = b"\x7d" + bytes([count % 256]) + round(grams * 10).to_bytes(3, "big", signed=True)
    return body + crc16(body, 0x1021, 0xFFFF, reflected=True, final=0xFFFF).to_bytes(2, "little")


def little_16_bit_and_a_crc_little_end_first(grams: float, count: int, ms: int) -> bytes:
    body = b"\xab\xcd" + struct.pack("<h", round(grams * 10))
    return body + crc16_ccitt_false(body).to_bytes(2, "little")


def float_and_crc_in_a_notification(grams: float, count: int, ms: int) -> bytes:
    body = struct.pack("<fB", grams, battery(count))
    return body + crc16(body, 0x8005, 0, reflected=True).to_bytes(2, "little")


@dataclass(frozen=True)
class Unknown:
    frame_of: FrameOf
    transport: Transport
    step_g: float
    kwargs: dict[str, Any] = field(default_factory=dict)
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
UNKNOWN += [
    Unknown(little_counter_then_big_32_bit, BLE, 0.01),
    Unknown(kilograms_between_marks_in_lines, SERIAL, 0.01),
    Unknown(columns_between_commas, SERIAL, 0.1),
    Unknown(half_grams, BLE, 0.5),
    Unknown(tenths_beside_a_temperature, SERIAL, 0.1),
    Unknown(packed_decimal_with_a_sign_byte, BLE, 0.1, {"below": True}),
    Unknown(second_of_two_channels, SERIAL, 0.1),
    Unknown(little_24_bit_between_equal_marks, SERIAL, 0.01),
    Unknown(text_in_notifications_without_line_ends, BLE, 0.1),
    Unknown(thousandths_of_a_pound, SERIAL, 0.46),
]
UNKNOWN += [
    Unknown(weight_and_temperature_in_two_columns, SERIAL, 0.01),
    Unknown(temperature_before_weight_with_commas, SERIAL, 0.1),
    Unknown(json_lines, SERIAL, 0.1),
    Unknown(json_lines_with_clock_and_battery, SERIAL, 0.01),
    Unknown(labelled_fields, SERIAL, 0.1),
    Unknown(net_tare_and_gross, SERIAL, 0.1),
    Unknown(a_sentence_with_a_check, SERIAL, 0.01),
    Unknown(answers_of_a_fieldbus, SERIAL, 0.01),
    Unknown(little_32_bit_and_another_crc, SERIAL, 0.01),
    Unknown(big_24_bit_and_a_reflected_crc, SERIAL, 0.1),
    Unknown(little_16_bit_and_a_crc_little_end_first, SERIAL, 0.1),
    Unknown(float_and_crc_in_a_notification, BLE, 0.001),
]
