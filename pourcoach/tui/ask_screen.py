"""A question that is answered with a line of text."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from pourcoach.tui.leaves_once import LeavesOnce

LONGEST = 300
"""Characters of an answer."""


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
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "give_up", priority=True)]

    def __init__(self, question: str, usual: str = "") -> None:
        super().__init__()
        self._question = question
        self._usual = usual

    def compose(self) -> ComposeResult:
        yield Static(self._question, markup=False)
        yield Input(self._usual, placeholder="then Enter (Esc: leave it)", max_length=LONGEST)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_give_up(self) -> None:
        self.dismiss(None)
