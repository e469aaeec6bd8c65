"""What stays the same of a USB device when its port's name changes."""

import os
from dataclasses import dataclass
from typing import Self

from pourcoach.scales.cable.listing import serial_ports


@dataclass(frozen=True, slots=True)
class UsbIdentity:
    """One device."""

    vid: int
    pid: int
    serial_number: str | None
    """None for the cheap ones, which all have none."""
    location: str | None = None
    """The socket it is plugged into: distinguishes those that have no serial number."""

    def port_now(self) -> str | None:
        """Its port now; None while it is not there, or cannot be distinguished from another."""
        alike = [port for port in serial_ports() if (port.vid, port.pid) == (self.vid, self.pid)]
        if self.serial_number is not None:
            alike = [port for port in alike if port.serial_number == self.serial_number]
        elif len(alike) > 1:
            alike = [port for port in alike if port.location == self.location]
        return alike[0].device if len(alike) == 1 else None

    @property
    def text(self) -> str:
        """For a file: ``1a86:7523:A1``. Only what has a serial number is worth writing down."""
        return f"{self.vid:04x}:{self.pid:04x}:{self.serial_number}"

    @classmethod
    def parse(cls, text: str) -> Self:
        """Raises ValueError where it is none."""
        vid, pid, serial_number = text.split(":", 2)
        return cls(int(vid, 16), int(pid, 16), serial_number)


def identity_at(device: str) -> UsbIdentity | None:
    """None for what is no USB port: a built-in one, a network one, a pseudo-terminal."""
    if "\0" in device:
        return None
    real = os.path.realpath(device)
    for port in serial_ports():
        if port.device in (device, real) and port.vid is not None and port.pid is not None:
            return UsbIdentity(port.vid, port.pid, port.serial_number, port.location)
    return None
