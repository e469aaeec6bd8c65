"""What every scale is to the rest of the program, whatever the cable or the radio."""

from collections.abc import AsyncIterator, Callable
from types import TracebackType
from typing import Protocol, Self, TypeAlias

from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.units import Seconds

Now: TypeAlias = Callable[[], Seconds]
"""Seconds since the tape began. The session owns the clock and passes it in."""


class Scale(Protocol):
    """An async context manager of readings. Entering starts it; leaving frees everything."""

    @property
    def address(self) -> str:
        """As given, for the tape's header."""
        ...

    async def __aenter__(self) -> Self:
        """Start. Raises WorkError at once for what waiting cannot mend (no such port)."""
        ...

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None: ...

    def __aiter__(self) -> AsyncIterator[Reading | Link]:
        """Readings as they arrive; a Link when the way is lost and when it is back.

        It ends only where the source does (a recording); a lost scale is waited for.
        """
        ...

    async def tare(self) -> bool:
        """Ask the scale to zero itself. False where it takes no commands."""
        ...
