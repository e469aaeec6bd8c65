"""One line of text, said at this moment of the brew."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input

from pourcoach.tui.leaves_once import LeavesOnce

LONGEST = 200
"""Characters of a note."""


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
        yield Input(placeholder="Note, then Enter (Esc: leave it)", max_length=LONGEST)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_give_up(self) -> None:
        self.dismiss("")
