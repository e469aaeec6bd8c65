"""From an address to a scale. What a kind of scale needs is imported only when it is asked for."""

from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now, Scale
from pourcoach.scales.supervised import SupervisedScale
from pourcoach.wire.commands import TARE
from pourcoach.wire.line_decoder import LineDecoder


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
        raise UsageError("Bluetooth scales are not there yet", "use a serial one")
    return _serial(address, now)


def _serial(address: ScaleAddress, now: Now) -> SupervisedScale:
    from pourcoach.scales.serial_port import PARITIES, PortSettings, SerialConnector

    address.only("baud", "bits", "parity", "stop", "channel")
    usual = PortSettings()
    parity = address.options.get("parity", usual.parity)
    if parity not in PARITIES:
        raise UsageError(f"parity {parity!r} in {address}", "use " + ", ".join(PARITIES))
    settings = PortSettings(
        baud=round(address.number("baud", usual.baud)),
        bits=round(address.number("bits", usual.bits)),
        parity=parity,
        stop=round(address.number("stop", usual.stop)),
    )
    channel = round(address.number("channel", 1)) if "channel" in address.options else None
    return SupervisedScale(
        str(address),
        SerialConnector(address.target, settings, now),
        lambda: LineDecoder(channel=channel),
        now,
        tare_command=TARE,
        tare_is_sure=False,
    )
