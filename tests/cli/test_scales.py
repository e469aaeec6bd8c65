"""``pourcoach scales``: the listing, and live readings of a fake scale."""

import json
import os
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from pourcoach.cli.main import main
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.known.calibrations import keep_calibration
from pourcoach.scales.link.connection import NoConnectionError
from pourcoach.scales.radio import bluetooth_search
from pourcoach.scales.radio.bluetooth_search import BluetoothDevice
from pourcoach.weighing.calibration.calibration import Calibration
from tests.wire.scale_lines import encode_checked


@pytest.fixture(autouse=True)
def one_port(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    port = ListPortInfo("/dev/ttyUSB0")
    port.vid, port.pid, port.serial_number = 0x1234, 0x5678, "A1"
    port.product = "Bridge"
    monkeypatch.setattr(list_ports, "comports", lambda: [port])
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))


@pytest.fixture
def port() -> Iterator[str]:
    """A pseudo-terminal on which a scale sends ten readings a second."""
    if sys.platform == "win32":
        pytest.skip("pseudo-terminals are POSIX only")
    import tty

    ours, theirs = os.openpty()
    tty.setraw(theirs)
    over = threading.Event()

    def send() -> None:
        sequence, begun_s = 0, time.monotonic()
        # By the clock: on a busy machine some are late, and none is left out.
        while not over.wait(max(begun_s + 0.1 * (sequence + 1) - time.monotonic(), 0.0)):
            os.write(ours, encode_checked(sequence, sequence * 100, 12.5))
            sequence += 1

    sender = threading.Thread(target=send)
    sender.start()
    yield os.ttyname(theirs)
    over.set()
    sender.join()
    os.close(ours)
    os.close(theirs)


def test_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scales", "--no-bluetooth"]) == 0
    assert "  serial:/dev/ttyUSB0           Bridge\n" in capsys.readouterr().out


def test_a_radio_that_is_off_is_reported_beside_the_objects(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    async def devices_in_sight(_seconds: float) -> list[BluetoothDevice]:
        raise NoConnectionError("Bluetooth is off", "turn it on")

    monkeypatch.setattr(bluetooth_search, "devices_in_sight", devices_in_sight)
    assert main(["scales", "--json"]) == 0
    printed = capsys.readouterr()
    assert json.loads(printed.out)["address"] == "serial:/dev/ttyUSB0"
    assert printed.err.startswith("pourcoach: Bluetooth is off")


def test_a_name_is_given_listed_used_and_taken_away(
    port: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["scales", "name", "station 3", "serial:/dev/ttyUSB0"]) == 0
    assert "known by its USB serial number" in capsys.readouterr().out
    assert main(["scales", "--no-bluetooth", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["called"] == "station 3"
    assert main(["scales", "name", "bench", f"serial:{port}"]) == 0
    assert main(["scales", "--live", "bench", "--for", "1.2", "--json"]) == 0
    assert '"grams_g": 12.5' in capsys.readouterr().out
    assert main(["scales", "name", "--remove", "bench"]) == 0
    assert main(["scales", "--live", "bench"]) == 2


@pytest.mark.parametrize(
    "argv", [["--for", "3"], ["--live", "sim:steady", "--for", "-1"], ["name", "x"], ["nosuch"]]
)
def test_wrong_use(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scales", *argv]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_doctor(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scales", "doctor", "--no-bluetooth"]) == 0
    assert "/dev/ttyUSB0 (Bridge)" in capsys.readouterr().out


def test_live_readings_as_json(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scales", "--live", f"serial:{port}", "--for", "1.5", "--json"]) == 0
    figures = json.loads(capsys.readouterr().out.splitlines()[-1])
    assert figures["grams_g"] == 12.5
    assert 8 < figures["rate_hz"] < 12
    assert isinstance(figures["dropped"], dict)


def test_a_calibration_in_force_is_shown_with_the_readings(
    port: str, capsys: pytest.CaptureFixture[str]
) -> None:
    address = f"serial:{port}"
    keep_calibration(ScaleAddress.parse(address), Calibration(2.5, 0.0), "2026-01-15")
    main(["scales", "--live", address, "--for", "0.2"])
    shown = capsys.readouterr().out
    assert shown.startswith("These readings are calibrated here, 2.5 counts a gram, made 2026-01")
    main(["scales", "--live", f"{address}?counts=on", "--for", "0.2"])
    assert "calibrated" not in capsys.readouterr().out


def test_live_readings_as_lines(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scales", "--live", f"serial:{port}", "--for", "1.5"]) == 0
    assert "12.50 g" in capsys.readouterr().out


def test_a_port_that_is_not_there_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scales", "--live", "serial:/dev/ttyNONE"]) == 1
    assert capsys.readouterr().err == (
        "pourcoach: there is no serial port /dev/ttyNONE; "
        "plug the scale in; 'pourcoach scales' lists the ports\n"
    )
