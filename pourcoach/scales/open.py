"""From an address to a scale. What a kind of scale needs is imported only when it is asked for."""

from dataclasses import replace

from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now, Scale
from pourcoach.wire.description import ScaleDescription, SerialLine, Transport


def open_scale(address: str | ScaleAddress, now: Now, plan: Plan | None = None) -> Scale:
    """The scale at an address, not yet entered. ``plan`` is what a simulated hand follows.

    Raises UsageError for an address or an option that makes no sense.
    """
    if isinstance(address, str):
        address = ScaleAddress.parse(address)
    if address.kind == "sim":
        from pourcoach.scales.simulated import SimulatedScale

        return SimulatedScale(address, now, plan)
    if address.kind == "tape":
        from pourcoach.scales.replayed import ReplayedScale

        return ReplayedScale(address, now)
    if address.kind == "ble":
        return _bluetooth(address, now)
    return _serial(address, now)


def _serial(address: ScaleAddress, now: Now) -> Scale:
    from pourcoach.scales.dialect import described_dialect, line_dialect
    from pourcoach.scales.serial_port import PARITIES, SerialConnector
    from pourcoach.scales.supervised import SupervisedScale

    address.only("baud", "bits", "parity", "stop", "channel", "as")
    description = _description(address, Transport.SERIAL)
    usual = SerialLine() if description is None else description.serial
    parity = address.options.get("parity", usual.parity)
    if parity not in PARITIES:
        raise UsageError(f"parity {parity!r} in {address}", "use " + ", ".join(PARITIES))
    settings = replace(
        usual,
        baud=round(address.number("baud", usual.baud)),
        bits=round(address.number("bits", usual.bits)),
        parity=parity,
        stop=round(address.number("stop", usual.stop)),
    )
    dialect = (
        line_dialect(_channel(address)) if description is None else described_dialect(description)
    )
    connector = SerialConnector(address.target, settings, dialect, now)
    return SupervisedScale(str(address), connector, now)


def _bluetooth(address: ScaleAddress, now: Now) -> Scale:
    from pourcoach.scales.bluetooth import BluetoothConnector
    from pourcoach.scales.supervised import SupervisedScale

    address.only("channel", "as")
    connector = BluetoothConnector(
        address.target, _description(address, Transport.BLE), _channel(address), now
    )
    return SupervisedScale(str(address), connector, now)


def _channel(address: ScaleAddress) -> int | None:
    return round(address.number("channel", 1)) if "channel" in address.options else None


def _description(address: ScaleAddress, transport: Transport) -> ScaleDescription | None:
    from pourcoach.scales.descriptions import find_description

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
