"""What the scales that are worked out by this program have in common."""

from dataclasses import replace
from types import TracebackType
from typing import Self

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now

# The world is worked out in strides, and the event loop has its turn between them: on a machine
# that cannot keep up with the speed asked for, keys and Ctrl+C are heard all the same.
STRIDE_S: Seconds = 1.0


class ModelledScale:
    """Opens nothing and holds nothing, and tares itself; a subclass gives the readings."""

    def __init__(self, address: ScaleAddress, now: Now) -> None:
        self._address = address
        self._now = now
        self._speed = address.speed
        self._zero_g: Grams = 0.0
        self._newest_g: Grams = 0.0

    @property
    def address(self) -> str:
        return str(self._address)

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Nothing is held."""

    async def tare(self) -> bool:
        """What it last showed counts as zero from the next reading on."""
        self._zero_g = self._newest_g
        return True

    def _tared(self, reading: Reading) -> Reading:
        """The newest reading, from the zero of the last tare."""
        self._newest_g = reading.grams
        return replace(reading, grams=round(reading.grams - self._zero_g, 6))
