"""Each reason why no scale is found has its finding and its remedy, on each system."""

import os
from pathlib import Path

import pytest
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from pourcoach.scales.doctor import ExaminedItem, Machine, bluetooth_findings, serial_findings


@pytest.fixture
def ports(monkeypatch: pytest.MonkeyPatch) -> list[ListPortInfo]:
    ports: list[ListPortInfo] = []
    monkeypatch.setattr(list_ports, "comports", lambda: ports)
    return ports


def usb_port(device: Path) -> ListPortInfo:
    device.touch()
    port = ListPortInfo(str(device))
    port.vid, port.pid, port.product = 0x1234, 0x5678, "Bridge"
    return port


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)


@pytest.mark.parametrize(
    ("platform", "says"),
    [
        ("linux", "'sudo dmesg --follow'"),
        ("darwin", "/dev/cu."),
        ("win32", "Device Manager"),
    ],
)
def test_no_port(ports: list[ListPortInfo], tmp_path: Path, platform: str, says: str) -> None:
    assert ports == []
    (finding,) = serial_findings(Machine(platform, tmp_path))
    assert not finding.good
    assert finding.what == "no USB serial port is there"
    assert says in finding.remedy


def test_a_port_that_can_be_used(ports: list[ListPortInfo], tmp_path: Path) -> None:
    device = tmp_path / "ttyUSB0"
    ports.append(usb_port(device))
    assert serial_findings(Machine("linux", tmp_path)) == [
        ExaminedItem(
            True,
            f"{device} (Bridge) is there: try 'pourcoach scales --live serial:{device}'",
        )
    ]


def test_a_port_without_permission(
    ports: list[ListPortInfo], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    device = tmp_path / "ttyUSB0"
    ports.append(usb_port(device))
    monkeypatch.setattr(os, "access", lambda *_: False)
    (finding,) = serial_findings(Machine("linux", tmp_path))
    assert not finding.good
    assert finding.what == f"no permission to use {device} (Bridge)"
    assert finding.remedy


@pytest.mark.skipif(os.name == "nt", reason="symbolic links of /proc")
def test_a_port_that_another_program_holds(ports: list[ListPortInfo], tmp_path: Path) -> None:
    device = tmp_path / "ttyUSB0"
    ports.append(usb_port(device))
    write(tmp_path / "proc/4242/comm", "minicom\n")
    (tmp_path / "proc/4242/fd").mkdir()
    (tmp_path / "proc/4242/fd/5").symlink_to(device)
    assert serial_findings(Machine("linux", tmp_path)) == [
        ExaminedItem(
            False, f"{device} (Bridge) is used by minicom (process 4242)", "end that program"
        )
    ]


@pytest.mark.parametrize(("program", "good"), [("brltty", False), ("ModemManager", True)])
def test_programs_that_meddle(
    ports: list[ListPortInfo], tmp_path: Path, program: str, good: bool
) -> None:
    ports.append(usb_port(tmp_path / "ttyUSB0"))
    write(tmp_path / "proc/99/comm", f"{program}\n")
    finding = serial_findings(Machine("linux", tmp_path))[-1]
    assert (finding.good, finding.what.split()[0]) == (good, program)


def test_linux_within_windows(ports: list[ListPortInfo], tmp_path: Path) -> None:
    assert ports == []
    write(tmp_path / "proc/version", "Linux version 5.15 (Microsoft@Microsoft.com)\n")
    (finding,) = serial_findings(Machine("linux", tmp_path))
    assert finding.remedy == "run pourcoach on Windows itself"


@pytest.mark.parametrize(
    ("switch", "remedy"), [("soft", "'rfkill unblock bluetooth'"), ("hard", "press it")]
)
async def test_bluetooth_blocked_by_a_switch(tmp_path: Path, switch: str, remedy: str) -> None:
    write(tmp_path / "sys/class/rfkill/rfkill0/type", "bluetooth\n")
    write(tmp_path / f"sys/class/rfkill/rfkill0/{switch}", "1\n")
    (finding,) = await bluetooth_findings(Machine("linux", tmp_path), 0.1)
    assert not finding.good
    assert remedy in finding.remedy
