"""A click that only brings the terminal to the front."""

from typing import TypeVar

from textual import events
from textual.app import App

from pourcoach.domain.units import Seconds

# The terminal reports its focus and the click that gave it one right after the other; a click of
# its own takes a hand longer. Common practice, no published source.
FOCUS_CLICK_S: Seconds = 0.3

Result = TypeVar("Result")


class FocusClickApp(App[Result]):
    """An app in which the click that gives the terminal its focus does nothing else."""

    _focused_s: Seconds | None = None
    _only_focuses = False

    def on_app_focus(self, event: events.AppFocus) -> None:
        """The terminal has the focus now."""
        self._focused_s = event.time

    async def on_event(self, event: events.Event) -> None:
        """Textual's entry for all that the terminal sends."""
        if isinstance(event, events.MouseDown) and not event.is_forwarded:
            focused_s = self._focused_s
            just_now = focused_s is not None and event.time - focused_s <= FOCUS_CLICK_S
            self._only_focuses = just_now or not self.app_focus
        if isinstance(event, events.MouseDown | events.MouseUp) and self._only_focuses:
            # Terminals that report the click first.
            self.app_focus = True
            return
        await super().on_event(event)
