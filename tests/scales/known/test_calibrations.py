"""Calibrations are kept by device, newest in force, and can be taken back."""

import pytest
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.known.calibrations import (
    MOST_KEPT,
    KeptCalibration,
    calibrations_path,
    keep_calibration,
    kept_calibration,
    undo_calibration,
)
from pourcoach.weighing.calibration.calibration import Calibration

FIRST, SECOND = Calibration(400.0, -5000.0), Calibration(-401.5, 12.0)
BENCH = ScaleAddress.parse("ble:bench")


@pytest.fixture(autouse=True)
def ports(monkeypatch: pytest.MonkeyPatch) -> list[ListPortInfo]:
    ports: list[ListPortInfo] = []
    monkeypatch.setattr(list_ports, "comports", lambda: ports)
    return ports


def test_the_newest_is_in_force_and_can_be_taken_back() -> None:
    assert kept_calibration(BENCH) is None
    keep_calibration(BENCH, FIRST, "2026-01-15T09:30:00+00:00")
    keep_calibration(BENCH, SECOND, "2026-02-15T09:30:00+00:00")
    assert kept_calibration(BENCH) == KeptCalibration(SECOND, "2026-02-15T09:30:00+00:00")
    assert undo_calibration(BENCH) == KeptCalibration(FIRST, "2026-01-15T09:30:00+00:00")
    assert undo_calibration(BENCH) is None
    with pytest.raises(UsageError, match="no calibration of ble:bench to take back"):
        undo_calibration(BENCH)


def test_it_follows_a_usb_device_to_another_port(ports: list[ListPortInfo]) -> None:
    def plugged(device: str) -> ListPortInfo:
        port = ListPortInfo(device)
        port.vid, port.pid, port.serial_number = 0x1A86, 0x7523, "A1"
        return port

    ports[:] = [plugged("/dev/ttyUSB0")]
    keep_calibration(ScaleAddress.parse("serial:/dev/ttyUSB0?baud=9600"), FIRST, "then")
    ports[:] = [plugged("/dev/ttyUSB1")]
    assert kept_calibration(ScaleAddress.parse("serial:/dev/ttyUSB1")) == KeptCalibration(
        FIRST, "then"
    )
    assert kept_calibration(ScaleAddress.parse("serial:/dev/ttyUSB0")) is None


def test_only_the_last_few_are_kept() -> None:
    for number in range(MOST_KEPT + 5):
        keep_calibration(BENCH, FIRST, str(number))
    for _ in range(MOST_KEPT - 1):
        undo_calibration(BENCH)
    assert undo_calibration(BENCH) is None


@pytest.mark.parametrize(
    "text",
    [
        "'ble:bench' = 3",
        "'ble:bench' = [3]",
        "'ble:bench' = [{counts_per_g = 0, empty_counts = 0, made_at = ''}]",
        "'ble:bench' = [{counts_per_g = nan, empty_counts = 0, made_at = ''}]",
        "'ble:bench' = [{empty_counts = 0}]",
        "broken",
    ],
)
def test_a_broken_file_is_reported(text: str) -> None:
    calibrations_path().parent.mkdir()
    calibrations_path().write_text(text)
    with pytest.raises(WorkError, match="mend or delete the file"):
        kept_calibration(BENCH)
