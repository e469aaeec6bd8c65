"""Raw bytes of a scale that is not yet understood, while a known weight comes and goes."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from pourcoach.domain.units import Grams, Seconds
from pourcoach.wire.description import Transport

Chunk: TypeAlias = tuple[Seconds, bytes]
"""When it arrived, and the bytes: a notification over Bluetooth, whatever was there on a cable."""


@dataclass(frozen=True, slots=True)
class Capture:
    """Four stretches at rest; what came while the weight was moved is left out."""

    known_g: Grams
    """The weight put on."""
    off: tuple[Chunk, ...]
    """Nothing on."""
    on: tuple[Chunk, ...]
    """The weight on."""
    off_again: tuple[Chunk, ...]
    """And taken off."""
    below: tuple[Chunk, ...] = ()
    """Zeroed with the weight on and then taken off, so that the scale shows less than nothing.
    Empty where that was not tried: then it is not known how the scale sends a negative weight."""
    transport: Transport = Transport.SERIAL

    @property
    def stretches(self) -> tuple[tuple[Chunk, ...], ...]:
        """All of them, in order; ``below`` only where there is one."""
        return (self.off, self.on, self.off_again, *((self.below,) if self.below else ()))

    def streams(self) -> Iterator[bytes]:
        """The bytes of each stretch."""
        for stretch in self.stretches:
            yield b"".join(data for _, data in stretch)
