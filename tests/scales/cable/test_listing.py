"""Ports as values, USB ones first."""

import pytest
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from pourcoach.scales.cable.listing import SerialPort, serial_ports


def test_usb_ports_come_first(monkeypatch: pytest.MonkeyPatch) -> None:
    built_in, usb = ListPortInfo("/dev/ttyS0"), ListPortInfo("/dev/ttyUSB0")
    usb.vid, usb.pid, usb.serial_number = 0x1234, 0x5678, "A1"
    usb.manufacturer, usb.product, usb.location = "Maker", "Bridge", "1-2"
    monkeypatch.setattr(list_ports, "comports", lambda: [built_in, usb])
    assert serial_ports() == [
        SerialPort("/dev/ttyUSB0", "Maker Bridge", 0x1234, 0x5678, "A1", "1-2"),
        SerialPort("/dev/ttyS0", "", None, None, None, None),
    ]
    assert serial_ports()[0].address == "serial:/dev/ttyUSB0"
