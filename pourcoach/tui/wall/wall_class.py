"""What a trainer can ask of the stations on this machine."""

from typing import Protocol


class WallClass(Protocol):
    """Each is asked of the station of that name, or of all."""

    @property
    def brewing(self) -> bool: ...

    def start(self, name: str | None = None) -> None: ...

    def finish(self, name: str | None = None) -> None: ...

    def tare(self, name: str | None = None) -> None: ...

    def turn(self, name: str | None = None) -> None:
        """The next of what can be done there: a brew, a drill."""
        ...

    def asks(self, name: str) -> bool:
        """Whether an estimate is waited for there."""
        ...

    def estimate(self, value: float, name: str) -> None: ...

    def note(self, text: str, name: str | None = None) -> None: ...

    async def close(self) -> None: ...
