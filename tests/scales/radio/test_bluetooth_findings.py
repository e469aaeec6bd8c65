"""What the doctor says of Bluetooth, over a fake BlueZ."""

from pathlib import Path

import pytest

from pourcoach.cli.main import main
from pourcoach.scales.doctor import ExaminedItem, Machine, bluetooth_findings
from tests.scales.fake_bluez import FakeBlueZ


async def findings(root: Path) -> list[ExaminedItem]:
    return await bluetooth_findings(Machine("linux", root), 0.1)


async def test_a_scale_in_sight(bluez: FakeBlueZ, tmp_path: Path) -> None:
    bluez.add_line_scale()
    bluez.add_line_scale("bar scale", "AA:BB:CC:00:00:02")
    assert await findings(tmp_path) == [
        ExaminedItem(True, "ble:bench is in sight: try 'pourcoach scales --live ble:bench'"),
        ExaminedItem(
            True, "ble:bar scale is in sight: try 'pourcoach scales --live \"ble:bar scale\"'"
        ),
    ]


async def test_nothing_in_sight(bluez: FakeBlueZ, tmp_path: Path) -> None:
    assert bluez.devices == []
    (finding,) = await findings(tmp_path)
    assert (finding.good, finding.what) == (
        False,
        "Bluetooth works, and no device is in sight",
    )


async def test_no_scale_among_what_is_in_sight(
    bluez: FakeBlueZ,
    tmp_path: Path,
) -> None:
    bluez.add_device("AA:BB:CC:00:00:01", "headset", [])
    (finding,) = await findings(tmp_path)
    assert "none of the 1 devices in sight says that it is a scale" in finding.what


async def test_bluetooth_off(bluez: FakeBlueZ, tmp_path: Path) -> None:
    assert bluez.adapter is not None
    bluez.adapter.powered = False
    assert await findings(tmp_path) == [
        ExaminedItem(False, "Bluetooth is switched off", "switch it on")
    ]


def test_the_commands_say_that_there_is_no_bluetooth(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DBUS_SYSTEM_BUS_ADDRESS", f"unix:path={tmp_path}/none")
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    assert main(["scales"]) == 0
    assert "Bluetooth: the Bluetooth service is not running; " in capsys.readouterr().out
    assert main(["scales", "doctor"]) == 0
    assert "!!  the Bluetooth service is not running\n    → " in capsys.readouterr().out
