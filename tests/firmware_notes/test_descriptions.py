"""The descriptions that ship read what the reference firmware sends, and say what it takes."""

from pathlib import Path

from pourcoach.scales.known.descriptions import find_description
from pourcoach.wire.described.decoders import decoder_for
from pourcoach.wire.described.reader import read_description
from pourcoach.wire.lines import commands

NOTES = Path(__file__).parents[2] / "firmware_notes"


def test_serial_description_decodes_the_captured_bytes():
    decoder = decoder_for(find_description("reference-serial"))
    readings = decoder.feed((NOTES / "captured" / "corners.txt").read_bytes(), 0.0)
    assert readings[-1].grams == 123.45


def test_bluetooth_description_names_the_firmware_s_own_characteristics():
    gatt = find_description("reference-ble").gatt
    firmware = (NOTES / "firmware" / "bluetooth_link.py").read_text(encoding="utf-8")
    assert f'SERVICE = "{gatt.service}"' in firmware
    assert f'NOTIFIES = "{gatt.notify}"' in firmware
    assert f'WRITTEN = "{gatt.write}"' in firmware


def test_both_send_the_commands_of_the_line_format():
    for name in ("reference-serial", "reference-ble"):
        sent = find_description(name).commands
        assert sent.tare == commands.TARE
        assert sent.rates == {rate: commands.rate_command(rate) for rate in (10, 80)}


def examples():
    text = (NOTES / "scale-descriptions.md").read_text(encoding="utf-8")
    return [block.split("```")[0] for block in text.split("```toml\n")[1:]]


def test_the_example_of_lines_reads_the_line_beside_it():
    description = read_description(examples()[0])
    (reading,) = decoder_for(description).feed(b"-\r\nST,GS,+  12.3 g\r\n", 0.0)
    assert (reading.grams, reading.stable) == (12.3, True)
    assert description.commands.poll == b"P\r\n"


def test_the_example_of_frames_reads_a_frame():
    body = bytes.fromhex("81 0004d2 07 04b0")
    parity = 0
    for byte in body:
        parity ^= byte
    (reading,) = decoder_for(read_description(examples()[1])).feed(
        b"\xaa\x55" + body + bytes([parity]), 0.0
    )
    assert (round(reading.grams, 6), reading.stable) == (-123.4, True)
    assert (reading.sequence, reading.device_s) == (7, 1.2)
