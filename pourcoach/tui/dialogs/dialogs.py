"""Short dialogs over another screen: yes or no, a line of text, one of a few things."""

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.suggester import Suggester
from textual.widgets import Input, Static

from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.takes_keys import TakesKeys

LONGEST_NOTE = 200
LONGEST_ANSWER = 300
"""Characters."""
MOST_THINGS = 9
"""As many as there are digits to pick with."""
HINT = "then Enter (Esc: leave it)"
COMPLETING_HINT = "then Enter (Tab: complete, Esc: leave it)"


class QuestionScreen(LeavesOnce[bool], ModalScreen[bool]):
    """Gives True for yes. What lies below goes on meanwhile."""

    DEFAULT_CSS = """
    QuestionScreen { align: center middle; background: $ground 60%; }
    QuestionScreen Static {
        width: auto; max-width: 100%; height: auto; padding: 1 3;
        background: $act-ground; color: $act-ink; text-style: bold;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        # Not Space nor Enter: a wet hand finds those, and what is asked for cannot be taken back.
        Binding("y", "answer(True)", priority=True),
        Binding("n,escape", "answer(False)", priority=True),
    ]

    def __init__(self, question: str) -> None:
        super().__init__()
        self._question = question

    def compose(self) -> ComposeResult:
        yield Static(f"{self._question}\n\ny  yes     n  no", markup=False)

    def action_answer(self, yes: bool) -> None:
        self.dismiss(yes)


class NoteScreen(LeavesOnce[str], ModalScreen[str]):
    """Gives the note; empty where the brewer thought better of it. The brew goes on meanwhile."""

    DEFAULT_CSS = """
    NoteScreen { align: center bottom; background: $ground 0%; }
    NoteScreen Input, NoteScreen Input:focus {
        width: 100%; height: 1; border: none; padding: 0 2;
        background: $target-ground; color: $target-ink;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "give_up", priority=True)]

    def compose(self) -> ComposeResult:
        yield Input(placeholder="Note, then Enter (Esc: leave it)", max_length=LONGEST_NOTE)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_give_up(self) -> None:
        self.dismiss("")


class AskScreen(LeavesOnce[str | None], ModalScreen[str | None]):
    """Gives the answer; None where the question is left with Escape."""

    DEFAULT_CSS = """
    AskScreen { align: center bottom; background: $ground 0%; }
    AskScreen Static {
        width: 100%; height: auto; padding: 0 2; background: $target-ground; color: $target-ink;
    }
    AskScreen Input {
        width: 100%; height: 3; border: tall $target-ground;
        background: $wait-ground; color: $wait-ink;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "give_up", priority=True),
        Binding("tab", "complete", priority=True),
    ]

    def __init__(
        self, question: str, usual: str = "", *, suggester: Suggester | None = None
    ) -> None:
        """What ``suggester`` suggests is taken with Tab, or as elsewhere with the right arrow."""
        super().__init__()
        self._question = question
        hint = HINT if suggester is None else COMPLETING_HINT
        self._input = Input(usual, placeholder=hint, max_length=LONGEST_ANSWER, suggester=suggester)

    def compose(self) -> ComposeResult:
        yield Static(self._question, markup=False)
        yield self._input

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_give_up(self) -> None:
        self.dismiss(None)

    def action_complete(self) -> None:
        self._input.action_end()
        self._input.action_cursor_right()


class PickScreen(LeavesOnce[int | None], TakesKeys[int | None], ModalScreen[int | None]):
    """Gives the index of what was picked; None for none. At most MOST_THINGS things."""

    DEFAULT_CSS = """
    PickScreen { align: center middle; background: $ground 60%; }
    PickScreen Static {
        width: auto; max-width: 100%; height: auto; padding: 1 3;
        background: $act-ground; color: $act-ink; text-style: bold;
    }
    """

    def __init__(self, question: str, things: Sequence[str]) -> None:
        super().__init__()
        self._question = question
        self._things = tuple(things[:MOST_THINGS])

    def compose(self) -> ComposeResult:
        lines = [f"{number}  {thing}" for number, thing in enumerate(self._things, 1)]
        yield Static("\n".join([self._question, "", *lines, "", "esc  none"]), markup=False)

    def take_key(self, event: events.Key) -> bool:
        if event.character and event.character.isdecimal():
            index = int(event.character) - 1
            if 0 <= index < len(self._things):
                self.dismiss(index)
        elif event.key in ("escape", "q"):
            self.dismiss(None)
        return True

    def on_click(self, event: events.Click) -> None:
        """On a line: that thing. Two lines of question stand above the first."""
        if event.widget is self:
            self.dismiss(None)
        elif event.widget is not None:
            index = event.screen_y - event.widget.content_region.y - 2
            if 0 <= index < len(self._things):
                self.dismiss(index)
