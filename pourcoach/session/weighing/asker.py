"""Whoever stands at the scale: is asked what to do, and answers when it is done."""

from typing import Protocol


class Asker(Protocol):
    """A terminal, or a test that plays the person."""

    def say(self, text: str) -> None:
        """Show a line."""
        ...

    async def ask(self, text: str) -> str:
        """Show what to do and wait for the answer, a line without its end; "" for Enter alone.

        Raises WorkError where no answer will ever come.
        """
        ...
