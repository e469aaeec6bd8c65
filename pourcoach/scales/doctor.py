"""Why no scale is found, and what to do about it, on each system."""

import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pourcoach.domain.units import Seconds
from pourcoach.scales.cable.listing import SerialPort, serial_ports
from pourcoach.scales.link.connection import NoConnectionError

# Programs that take a serial port for themselves when it appears.
_MODEM_PROBE = "ModemManager"
_BRAILLE_DRIVER = "brltty"


@dataclass(frozen=True, slots=True)
class ExaminedItem:
    """One thing looked at."""

    good: bool
    what: str
    remedy: str = ""
    """What to do; empty where all is well."""


@dataclass(frozen=True, slots=True)
class Machine:
    """What is looked at. ``root`` is the root of a Linux file system, and unused elsewhere."""

    platform: str
    """As ``sys.platform`` has it."""
    root: Path = Path("/")

    @property
    def is_linux(self) -> bool:
        return self.platform.startswith("linux")

    @property
    def is_wsl(self) -> bool:
        """Whether this is a Linux within Windows, that has no ports or radio of its own."""
        return self.is_linux and "microsoft" in self._read("proc/version").lower()

    def running(self) -> set[str]:
        """Names of the programs that run (Linux only)."""
        return {
            self._read(f"proc/{entry.name}/comm").strip()
            for entry in self._entries("proc")
            if entry.name.isdecimal()
        }

    def holders(self, device: str) -> list[str]:
        """Programs that have a device open, as far as this user may see (Linux only)."""
        names = []
        for process in self._entries("proc"):
            if not process.name.isdecimal() or int(process.name) == os.getpid():
                continue
            for descriptor in self._entries(f"proc/{process.name}/fd"):
                with suppress(OSError):
                    if os.readlink(descriptor) == device:
                        name = self._read(f"proc/{process.name}/comm").strip()
                        names.append(f"{name} (process {process.name})")
                        break
        return names

    def radio_blocks(self) -> set[str]:
        """``soft`` or ``hard`` where a switch keeps Bluetooth off (Linux only)."""
        blocks = set()
        for switch in self._entries("sys/class/rfkill"):
            if self._read(f"sys/class/rfkill/{switch.name}/type").strip() == "bluetooth":
                for kind in ("soft", "hard"):
                    if self._read(f"sys/class/rfkill/{switch.name}/{kind}").strip() == "1":
                        blocks.add(kind)
        return blocks

    def _read(self, path: str) -> str:
        try:
            return (self.root / path).read_text(encoding="utf-8", errors="replace")
        except OSError:
            return ""

    def _entries(self, path: str) -> list[Path]:
        try:
            return list((self.root / path).iterdir())
        except OSError:
            return []


def serial_findings(machine: Machine) -> list[ExaminedItem]:
    """The serial ports, and what stands in the way of each."""
    ports = serial_ports()
    if machine.is_wsl:
        return [
            ExaminedItem(
                False,
                "this Linux runs within Windows and sees neither USB nor Bluetooth",
                "run pourcoach on Windows itself",
            )
        ]
    findings = [finding for port in ports for finding in _port_findings(port, machine)]
    if not any(port.vid is not None for port in ports):
        findings.append(
            ExaminedItem(False, "no USB serial port is there", _no_port_remedy(machine))
        )
    if machine.is_linux:
        findings += _meddlers(machine.running())
    return findings


def _port_findings(port: SerialPort, machine: Machine) -> Iterator[ExaminedItem]:
    from pourcoach.scales.cable.serial_port import permission_remedy

    name = f"{port.device} ({port.what})" if port.what else port.device
    if port.vid is None:
        return
    if machine.is_linux:
        holders = machine.holders(port.device)
        if holders:
            yield ExaminedItem(False, f"{name} is used by {', '.join(holders)}", "end that program")
            return
        if not os.access(port.device, os.R_OK | os.W_OK):
            yield ExaminedItem(
                False, f"no permission to use {name}", permission_remedy(port.device)
            )
            return
    yield ExaminedItem(True, f"{name} is there: try {_live_command(port.address)}")


def _live_command(address: str) -> str:
    quoted = f'"{address}"' if " " in address else address
    return f"'pourcoach scales --live {quoted}'"


def _no_port_remedy(machine: Machine) -> str:
    cable = "try another cable (many only charge) and another socket"
    if machine.platform == "win32":
        return f"{cable}; a yellow mark in Device Manager asks for the driver of the USB bridge"
    if machine.platform == "darwin":
        return (
            f"{cable}; ports are called /dev/cu.…, and some USB bridges need their maker's driver, "
            "allowed under System Settings, Privacy & Security"
        )
    return f"{cable}; 'sudo dmesg --follow' shows what happens as you plug it in"


def _meddlers(running: set[str]) -> Iterator[ExaminedItem]:
    if _BRAILLE_DRIVER in running:
        yield ExaminedItem(
            False,
            f"{_BRAILLE_DRIVER} is running: it takes some USB serial bridges for braille displays, "
            "and their port vanishes",
            f"if you need no braille display, remove the package {_BRAILLE_DRIVER}",
        )
    if _MODEM_PROBE in running:
        yield ExaminedItem(
            True,
            f"{_MODEM_PROBE} is running: it tries out a new serial port for some seconds, so wait "
            "a moment after plugging in",
        )


async def bluetooth_findings(machine: Machine, search_s: Seconds) -> list[ExaminedItem]:
    """Whether Bluetooth works here, and what is in sight."""
    from pourcoach.scales.radio.bluetooth_search import devices_in_sight

    blocks = machine.radio_blocks() if machine.is_linux else set()
    if "hard" in blocks:
        return [
            ExaminedItem(
                False, "a switch or a key of this computer keeps Bluetooth off", "press it"
            )
        ]
    if "soft" in blocks:
        return [
            ExaminedItem(
                False, "Bluetooth is blocked", "unblock it with 'rfkill unblock bluetooth'"
            )
        ]
    try:
        devices = await devices_in_sight(search_s)
    except NoConnectionError as error:
        return [ExaminedItem(False, error.what, error.remedy)]
    scales = [device for device in devices if device.speaks]
    findings = [
        ExaminedItem(True, f"{device.address} is in sight: try {_live_command(device.address)}")
        for device in scales
    ]
    if not scales:
        count = len(devices)
        findings.append(
            ExaminedItem(
                False,
                f"Bluetooth works, and none of the {count} devices in sight says that it is a scale"
                if count
                else "Bluetooth works, and no device is in sight",
                "switch the scale on, bring it near, and end what else may hold it, as a phone; "
                "then 'pourcoach scales describe' learns one that is in sight",
            )
        )
    return findings
