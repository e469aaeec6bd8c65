"""A question to be answered with one key."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Static

from pourcoach.tui.leaves_once import LeavesOnce


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
