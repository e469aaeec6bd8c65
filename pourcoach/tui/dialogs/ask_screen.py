"""A question that is answered with a line of text."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.suggester import Suggester
from textual.widgets import Input, Static

from pourcoach.tui.leaves_once import LeavesOnce

LONGEST = 300
"""Characters of an answer."""
HINT = "then Enter (Esc: leave it)"
COMPLETING_HINT = "then Enter (Tab: complete, Esc: leave it)"


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
        self._input = Input(usual, placeholder=hint, max_length=LONGEST, suggester=suggester)

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
