"""What one connection to a scale brings, from its opening to its end."""

import asyncio
from collections.abc import Callable
from contextlib import suppress

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.link.connection import Connection, Connector
from pourcoach.wire.decoder import Decoder, DropReason
from pourcoach.wire.lines.line_decoder import LineDecoder

# A scale commanded to zero itself shows it within this; half a second spans five readings at 10 Hz.
ZERO_WITHIN_S: Seconds = 0.5
# What counts as zero then; bench scales zero to their step, at most 1 g.
ZERO_G: Grams = 1.0

USUAL_REMEDY = "check its baud rate and format, or describe it with 'pourcoach scales describe'"
# What to do where bytes come and no weight, by what is wrong with most of them.
REMEDIES = {
    DropReason.COUNTS: "calibrate it with 'pourcoach calibrate'",
    DropReason.GRAMS: "it was calibrated on raw counts and sends none now; take that back with "
    "'pourcoach calibrate --undo'",
    DropReason.AMBIGUOUS: "say which number with ?channel=N behind the address",
    DropReason.UNIT: "set the scale to a unit of mass",
    DropReason.OUT_OF_RANGE: "see what stands on it, and set it to zero",
}


class ConnectionReader:
    """One connection's bytes. Once it is over, late callbacks of its connection are ignored."""

    def __init__(self, connector: Connector, take: Callable[[list[Reading]], None]) -> None:
        self._connector = connector
        self.decoder: Decoder | None = None
        """Made as the first bytes arrive: before, it may not be known how the scale speaks."""
        self.connection: Connection | None = None
        self.lost = asyncio.Event()
        self.why = ""
        self.over = False
        self.mute = False
        """Whether it ended without a single reading."""
        self.last_s: Seconds | None = None
        """Loop time of the last reading."""
        self._first_s: Seconds = 0.0
        self._count = 0
        self._take = take
        self._newest_g: Grams = 0.0
        self._arrived = asyncio.Event()

    def on_bytes(self, data: bytes, t_s: Seconds) -> None:
        """For the connector, as bytes arrive."""
        if self.over:
            return
        if self.decoder is None:
            self.decoder = self._connector.dialect.new_decoder()
        readings = self.decoder.feed(data, t_s)
        if not readings:
            return
        self.last_s = asyncio.get_running_loop().time()
        if self._count == 0:
            self._first_s = self.last_s
        self._count += len(readings)
        self._newest_g = readings[-1].grams
        self._arrived.set()
        self._take(readings)

    def on_lost(self, why: str) -> None:
        """For the connector, as the connection goes."""
        if not self.over:
            self.why = why
            self.lost.set()

    @property
    def takes_commands(self) -> bool:
        """Whether the scale has shown that it is one of checked lines, which take commands."""
        return isinstance(self.decoder, LineDecoder) and self.decoder.checked

    @property
    def period_s(self) -> Seconds:
        """Mean time between readings; 0 while it cannot be said."""
        if self._count < 2 or self.last_s is None:
            return 0.0
        return (self.last_s - self._first_s) / (self._count - 1)

    def proven(self, lasted_s: Seconds, enough_s: Seconds) -> bool:
        """Whether it gave readings and lasted."""
        return self._count > 0 and lasted_s >= enough_s

    def silence(self) -> str:
        """The sentence for a connection that stands while no reading comes."""
        name, remedy = self._connector.name, self._connector.silence_remedy
        if self._count:
            return f"{name} has stopped sending; {remedy}"
        if self.decoder is None:
            return f"{name} sends nothing: {remedy}"
        reasons = self.decoder.dropped.most_common(1)
        reason = reasons[0][0] if reasons else DropReason.OTHER
        remedy = REMEDIES.get(reason, USUAL_REMEDY)
        return f"what {name} sends is no weight ({reason.value}): {remedy}"

    async def comes_to_zero(self) -> bool:
        """Whether the readings go to zero within ZERO_WITHIN_S, or are there."""
        with suppress(TimeoutError):
            async with asyncio.timeout(ZERO_WITHIN_S):
                while abs(self._newest_g) > ZERO_G:
                    self._arrived.clear()
                    await self._arrived.wait()
        return abs(self._newest_g) <= ZERO_G
