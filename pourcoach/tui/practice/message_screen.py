"""Between pours: what five of them show together, and what comes next."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.practice.head import Head, HeadPanel
from pourcoach.tui.practice.practice_screen import PracticeLeave
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.widgets.paragraphs import Paragraphs
from pourcoach.tui.widgets.text_row import KeyRow


class MessageScreen(LeavesOnce[PracticeLeave]):
    """A head and some paragraphs, until a key."""

    DEFAULT_CSS = """
    MessageScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    MessageScreen #head { height: 9; }
    MessageScreen #prose { height: 1fr; margin: 1 0; }
    MessageScreen #keys { height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "go('next')", "Go on", priority=True),
        Binding("escape", "go('back')", "Leave", priority=True),
        Binding("q", "go('quit')", "Quit", priority=True),
    ]

    def __init__(self, head: Head, paragraphs: tuple[str, ...], glyphs: Glyphs = FULL) -> None:
        super().__init__()
        self._shown = head
        self._paragraphs = paragraphs
        self._head = HeadPanel(glyphs, id="head")
        self._prose = Paragraphs(glyphs, id="prose")
        self._keys = KeyRow(glyphs, id="keys")

    def compose(self) -> ComposeResult:
        yield self._head
        yield self._prose
        yield self._keys

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self._show()

    def on_click(self) -> None:
        self.action_go(PracticeLeave.NEXT.value)

    def _show(self) -> None:
        self._head.show(self._shown)
        self._prose.show(*self._paragraphs)
        self._keys.show(("space", "Go on"), ("esc", "Leave"), ("q", "Quit"))

    def action_go(self, how: str) -> None:
        self.dismiss(PracticeLeave(how))
