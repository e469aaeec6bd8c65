"""How a scale speaks, and what it understands."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from pourcoach.wire.commands import TARE
from pourcoach.wire.decoder import Decoder
from pourcoach.wire.described import decoder_for
from pourcoach.wire.description import ScaleDescription
from pourcoach.wire.line_decoder import LineDecoder
from pourcoach.wire.weight_scale_service import STEP_G, WeightScaleDecoder


@dataclass(frozen=True, slots=True)
class Dialect:
    """One way to be heard and told."""

    new_decoder: Callable[[], Decoder]
    """A decoder for one connection."""
    start: bytes | None = None
    """Sent on connecting."""
    tare: bytes | None = None
    tare_is_sure: bool = True
    """False where it is not known that the scale takes commands: its readings must show it."""
    rates: Mapping[int, bytes] = field(default_factory=dict)
    """By readings a second."""
    on_change: bool = False
    """Whether it sends only when its weight changes, so that its silence says nothing."""
    notice: str = ""
    """What the brewer must know of such a scale; empty where there is nothing to say."""


def line_dialect(channel: int | None = None) -> Dialect:
    """Plain or checked lines. A scale of checked lines takes commands; a plain one may."""
    return Dialect(lambda: LineDecoder(channel=channel), tare=TARE, tare_is_sure=False)


def described_dialect(description: ScaleDescription) -> Dialect:
    """What a description tells; plain or checked lines where it tells of no form."""
    commands = description.commands
    return Dialect(
        lambda: decoder_for(description),
        start=commands.start,
        tare=commands.tare,
        rates=commands.rates,
        on_change=description.on_change,
    )


WEIGHT_SCALE_DIALECT = Dialect(
    WeightScaleDecoder,
    on_change=True,
    notice=f"this scale tells its weight in steps of {STEP_G:g} g, as its Bluetooth service has "
    "it: enough for the totals of a brew, too coarse to judge how evenly it is poured",
)
