"""The reference firmware's own descriptions read, and say what the firmware says."""

from pathlib import Path

from pourcoach.wire import commands
from pourcoach.wire.described import decoder_for
from pourcoach.wire.description import Transport
from pourcoach.wire.description_reader import read_description

NOTES = Path(__file__).parents[2] / "firmware_notes"


def test_serial_description_decodes_the_captured_bytes():
    description = read_description((NOTES / "reference-serial.toml").read_text())
    assert description.transport is Transport.SERIAL
    readings = decoder_for(description).feed((NOTES / "captured/corners.txt").read_bytes(), 0.0)
    assert readings[-1].grams == 123.45


def test_bluetooth_description_names_the_firmware_s_own_characteristics():
    description = read_description((NOTES / "reference-bluetooth.toml").read_text())
    firmware = (NOTES / "firmware" / "bluetooth_link.py").read_text()
    gatt = description.gatt
    assert f'SERVICE = "{gatt.service}"' in firmware
    assert f'NOTIFIES = "{gatt.notify}"' in firmware
    assert f'WRITTEN = "{gatt.write}"' in firmware


def test_both_send_the_commands_of_the_line_format():
    for name in ("reference-serial.toml", "reference-bluetooth.toml"):
        sent = read_description((NOTES / name).read_text()).commands
        assert sent.tare == commands.TARE
        assert sent.rates == {rate: commands.rate_command(rate) for rate in (10, 20, 40, 80)}
