"""The serial ports of this machine, as values."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SerialPort:
    """A port that something is plugged into."""

    device: str
    """Its name now; it may be another after the next plugging in."""
    what: str
    """What the device says of itself; empty where it says nothing that can be printed."""
    vid: int | None
    """USB vendor; None for what is no USB port."""
    pid: int | None
    serial_number: str | None
    location: str | None
    """The socket it is plugged into, as the system numbers them."""

    @property
    def address(self) -> str:
        """The scale address of this port."""
        return f"serial:{self.device}"


def serial_ports() -> list[SerialPort]:
    """The ports of this machine, USB ports first: the others are often wired to nothing."""
    # pyserial: names and addresses are looked at without it
    from serial.tools import list_ports

    ports = [
        SerialPort(
            port.device,
            " ".join(
                word for word in (port.manufacturer, port.product) if word and word.isprintable()
            ),
            port.vid,
            port.pid,
            port.serial_number,
            port.location,
        )
        for port in list_ports.comports()
    ]
    return sorted(ports, key=lambda port: (port.vid is None, port.device))
