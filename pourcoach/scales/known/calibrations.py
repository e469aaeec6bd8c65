"""Calibrations of scales that send raw counts: kept on this machine, by device, with a way back.

A USB device is known by its serial number, so that a calibration follows it from port to port;
any other scale by its address.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomli_w

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.places import config_folder
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.cable.usb_identity import identity_at
from pourcoach.text_file import read_text, write_atomically
from pourcoach.weighing.calibration.calibration import Calibration
from pourcoach.weighing.loads.known_load import LARGEST

# Enough to come back from a few slips; a calibration is made a few times a year.
MOST_KEPT = 10


@dataclass(frozen=True, slots=True)
class KeptCalibration:
    """A calibration and when it was made."""

    calibration: Calibration
    made_at: str
    """ISO 8601, as the caller has it."""

    @property
    def words(self) -> str:
        """To be shown with readings that went through it."""
        return (
            f"calibrated here, {self.calibration.counts_per_g:.6g} counts a gram, made "
            f"{self.made_at}"
        )

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "counts_per_g": self.calibration.counts_per_g,
            "empty_counts": self.calibration.empty_counts,
            "made_at": self.made_at,
        }


def calibrations_path() -> Path:
    """Where they are kept."""
    return config_folder() / "calibrations.toml"


def kept_calibration(address: ScaleAddress) -> KeptCalibration | None:
    """The one in force for the scale at an address; None where it has none.

    Raises WorkError where the file is there and cannot be read.
    """
    kept = _read().get(_key(address))
    return kept[-1] if kept else None


def keep_calibration(address: ScaleAddress, calibration: Calibration, made_at: str) -> None:
    """Put one in force; the ones before it stay for ``undo_calibration``."""
    everything = _read()
    kept = everything.setdefault(_key(address), [])
    kept.append(KeptCalibration(calibration, made_at))
    del kept[:-MOST_KEPT]
    _write(everything)


def undo_calibration(address: ScaleAddress) -> KeptCalibration | None:
    """Take the newest away; the one that is in force then, None where it was the only one.

    Raises UsageError where there is none to take away.
    """
    everything = _read()
    kept = everything.get(_key(address), [])
    if not kept:
        raise UsageError(f"there is no calibration of {address} to take back")
    kept.pop()
    _write(everything)
    return kept[-1] if kept else None


def _key(address: ScaleAddress) -> str:
    usb = identity_at(address.target) if address.kind == "serial" else None
    if usb is not None and usb.serial_number:
        return f"usb:{usb.text}"
    return f"{address.kind}:{address.target}"


def _read() -> dict[str, list[KeptCalibration]]:
    path = calibrations_path()
    if not path.exists():
        return {}
    text = read_text(path, "the calibrations")
    try:
        table = CheckedTable.from_toml("the calibrations", text)
        scales = table.all_keys()
        return {key: [_kept(entry) for entry in table.tables(key, MOST_KEPT)] for key in scales}
    except UsageError as error:
        # The file's fault, not of whoever called a command.
        raise WorkError(f"{path}: {error.what}", "mend or delete the file") from None


def _kept(table: CheckedTable) -> KeptCalibration:
    counts_per_g = table.number("counts_per_g", least=-LARGEST, most=LARGEST)
    if counts_per_g == 0.0:
        raise table.wrong("counts_per_g", "is 0")
    empty_counts = table.number("empty_counts", least=-LARGEST, most=LARGEST)
    return KeptCalibration(Calibration(counts_per_g, empty_counts), table.text("made_at"))


def _write(everything: dict[str, list[KeptCalibration]]) -> None:
    path = calibrations_path()
    data = {key: [one.as_dict() for one in kept] for key, kept in everything.items() if kept}
    write_atomically(path, tomli_w.dumps(data))
