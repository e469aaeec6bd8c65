"""How a scale sends its readings, and which commands it takes."""

from collections.abc import Callable
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Seconds
from pourcoach.weighing.calibration.calibration import Calibration
from pourcoach.wire.decoder import Decoder
from pourcoach.wire.described.decoders import decoder_for
from pourcoach.wire.description import ScaleDescription
from pourcoach.wire.lines.commands import TARE, counts_command, rate_command
from pourcoach.wire.lines.line_decoder import LineDecoder
from pourcoach.wire.weight_scale_service import STEP_G, WeightScaleDecoder


@dataclass(frozen=True, slots=True)
class Dialect:
    """One way of sending readings and taking commands."""

    new_decoder: Callable[[], Decoder]
    """A decoder for one connection."""
    start: bytes | None = None
    """Sent on connecting."""
    finish: bytes | None = None
    """Sent before leaving."""
    poll: bytes | None = None
    """Sent again and again, for a scale that sends only when asked."""
    poll_s: Seconds = 1.0
    """From one asking to the next."""
    tare: bytes | None = None
    tare_is_sure: bool = True
    """False where it is not known that the scale takes commands: its readings must show it."""
    on_change: bool = False
    """Whether it sends only when its weight changes, so that its silence says nothing."""
    by_lines: bool = True
    """Whether it sends lines of text, in pieces of any length."""
    notice: str = ""
    """What the brewer must know of such a scale; empty where there is nothing to say."""


def line_dialect(
    channel: int | None = None,
    *,
    rate_hz: int | None = None,
    counts: bool = False,
    calibration: Calibration | None = None,
    notice: str = "",
) -> Dialect:
    """Plain or checked lines. A scale of checked lines takes commands; a plain one may.

    ``rate_hz`` asks for so many readings a second. With ``counts`` the readings are raw counts,
    for making a calibration: ``grams`` are then counts. With a ``calibration`` the scale is asked
    for counts too, and they become grams here. ``notice`` as ``Dialect`` has it.
    """
    counts = counts or calibration is not None
    calibrated = None if calibration is None else calibration.grams
    start = b"" if rate_hz is None else rate_command(rate_hz)
    start += counts_command(True) if counts else b""
    return Dialect(
        lambda: LineDecoder(channel=channel, raw=counts, calibrated=calibrated),
        start=start or None,
        finish=counts_command(False) if counts else None,
        tare=TARE,
        tare_is_sure=False,
        notice=notice,
    )


def described_dialect(description: ScaleDescription, rate_hz: int | None = None) -> Dialect:
    """What a description says; plain or checked lines where it names no form.

    Raises UsageError for a rate that the description has no command for.
    """
    commands = description.commands
    start = commands.start or b""
    if rate_hz is not None:
        if rate_hz not in commands.rates:
            known = ", ".join(str(rate) for rate in sorted(commands.rates))
            raise UsageError(
                f"{description.name!r} has no command for {rate_hz} readings a second",
                f"it has {known}" if known else "it has none for any rate",
            )
        start += commands.rates[rate_hz]
    return Dialect(
        lambda: decoder_for(description),
        start=start or None,
        poll=commands.poll,
        poll_s=1.0 / commands.poll_hz,
        tare=commands.tare,
        on_change=description.on_change,
        by_lines=description.layout is None,
    )


WEIGHT_SCALE_DIALECT = Dialect(
    WeightScaleDecoder,
    on_change=True,
    by_lines=False,
    notice=f"this scale sends its weight in steps of {STEP_G:g} g, as its Bluetooth service has "
    "it: enough for the totals of a brew, too coarse to judge how evenly it is poured",
)
