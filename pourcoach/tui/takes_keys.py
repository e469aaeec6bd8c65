"""Keys that come close together, each for the screen that the one before it led to."""

from typing import Any

from textual import events
from textual.app import App
from textual.screen import Screen, ScreenResultType


class TakesKeys(Screen[ScreenResultType]):
    """A screen that acts on keys which no binding names.

    Textual hands such a key on, to be acted on after the next one was: of two in quick succession
    the second would go to a screen that the first has closed, and be lost.
    """

    def take_key(self, event: events.Key) -> bool:
        """Act on the key. False where it is for somebody else."""
        raise NotImplementedError

    def on_key(self, event: events.Key) -> None:
        """In an app that hands keys on."""
        if self.take_key(event):
            event.stop()


async def took_key(app: App[Any], event: events.Event) -> bool:
    """Whether the event was a key as the terminal sent it, and a screen that takes keys is on top:
    then it has been acted on, by a binding that goes before or by the screen.
    """
    if not isinstance(event, events.Key) or event.is_forwarded:
        return False
    screen = app.screen
    if not isinstance(screen, TakesKeys):
        return False
    return await app._check_bindings(event.key, priority=True) or screen.take_key(event)
