"""The descriptions that ship read what the reference firmware sends, and say what it takes."""

from pathlib import Path

from pourcoach.scales.descriptions import find_description
from pourcoach.wire import commands
from pourcoach.wire.described import decoder_for

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
