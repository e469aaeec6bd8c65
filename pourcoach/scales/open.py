"""From an address to a scale. What a kind of scale needs is imported only when it is asked for."""

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now, Scale
from pourcoach.wire.description import ScaleDescription, SerialLine, Transport

if TYPE_CHECKING:
    from pourcoach.scales.dialect import Dialect
    from pourcoach.scales.known.calibrations import KeptCalibration

# Options of every live scale: as=DESCRIPTION, channel=N, rate=HZ, counts=on.
_TALK = ("as", "channel", "rate", "counts")


def open_scale(address: str | ScaleAddress, now: Now, plan: Plan | None = None) -> Scale:
    """The scale at an address, not yet entered. ``plan`` is what a simulated hand follows.

    Raises UsageError for an address or an option that makes no sense.
    """
    if isinstance(address, str):
        address = ScaleAddress.parse(address)
    if address.kind == "sim":
        from pourcoach.scales.worked_out.simulated import SimulatedScale

        return SimulatedScale(address, now, plan)
    if address.kind == "kettle":
        from pourcoach.scales.worked_out.kettle import KettleScale

        return KettleScale(address, now, plan)
    if address.kind == "tape":
        from pourcoach.scales.worked_out.replayed import ReplayedScale

        return ReplayedScale(address, now)
    if address.kind == "ble":
        return _bluetooth(address, now)
    return _serial(address, now)


def _serial(address: ScaleAddress, now: Now) -> Scale:
    from pourcoach.scales.cable.serial_port import SerialConnector
    from pourcoach.scales.link.supervised import SupervisedScale

    options = (*_TALK, "baud", "bits", "parity", "stop")
    target = address.target
    if "://" in target:
        # pyserial's own URLs have options of their own, as spy://PORT?file=traffic.txt.
        theirs = {key: value for key, value in address.options.items() if key not in options}
        target += f"?{urlencode(theirs)}" if theirs else ""
    else:
        address.only(*options)
    description = _description(address, Transport.SERIAL)
    settings = serial_line(address, None if description is None else description.serial)
    connector = SerialConnector(target, settings, _dialect(address, description), now)
    return SupervisedScale(str(address), connector, now)


def serial_line(address: ScaleAddress, described: SerialLine | None = None) -> SerialLine:
    """How an address wants the line set; its options win over what is described.

    Raises UsageError for an option that makes no sense.
    """
    usual = described or SerialLine()
    parity = address.options.get("parity", usual.parity)
    if parity not in ("none", "even", "odd"):
        raise UsageError(f"parity {parity!r} in {address}", "use none, even or odd")
    return SerialLine(
        baud=_whole(address, "baud", usual.baud),
        bits=_whole(address, "bits", usual.bits),
        parity=parity,
        stop=_whole(address, "stop", usual.stop),
    )


def _bluetooth(address: ScaleAddress, now: Now) -> Scale:
    from pourcoach.scales.link.supervised import SupervisedScale
    from pourcoach.scales.radio.bluetooth import BluetoothConnector

    address.only(*_TALK)
    description = _description(address, Transport.BLE)
    gatt = None if description is None else description.gatt
    dialect = _dialect(address, description)
    connector = BluetoothConnector(address.target, gatt, dialect, now)
    return SupervisedScale(str(address), connector, now)


def calibration_in_force(address: ScaleAddress) -> "KeptCalibration | None":
    """The kept calibration that a scale's readings go through; None where they come as sent.

    Raises WorkError where the calibrations cannot be read.
    """
    from pourcoach.scales.known.calibrations import kept_calibration

    if not address.live or "as" in address.options or "counts" in address.options:
        return None
    return kept_calibration(address)


def _dialect(address: ScaleAddress, description: ScaleDescription | None) -> "Dialect":
    from pourcoach.scales.dialect import described_dialect, line_dialect

    rate_hz = _whole(address, "rate", 1) if "rate" in address.options else None
    if description is not None:
        for option in ("channel", "counts"):
            if option in address.options:
                raise UsageError(f"{option} and as do not go together in {address}")
        return described_dialect(description, rate_hz)
    if address.options.get("counts", "on") != "on":
        raise UsageError(f"counts in {address} can only be on", "leave it out for grams")
    channel = _whole(address, "channel", 1) if "channel" in address.options else None
    if "counts" in address.options:
        return line_dialect(channel, rate_hz=rate_hz, counts=True)
    kept = calibration_in_force(address)
    if kept is None:
        return line_dialect(channel, rate_hz=rate_hz)
    notice = f"the readings are {kept.words}"
    return line_dialect(channel, rate_hz=rate_hz, calibration=kept.calibration, notice=notice)


def _whole(address: ScaleAddress, name: str, usual: int) -> int:
    value = address.number(name, usual)
    if value != int(value):
        raise UsageError(f"{name} in {address} is no whole number")
    return int(value)


def _description(address: ScaleAddress, transport: Transport) -> ScaleDescription | None:
    from pourcoach.scales.known.descriptions import find_description

    name = address.options.get("as")
    if name is None:
        return None
    description = find_description(name)
    if description.transport is not transport:
        raise UsageError(
            f"the description {name!r} is of a {description.transport.value} scale",
            f"use it with {description.transport.value}:…",
        )
    return description
