"""A form above, what follows from it below: the frame of the strength and the water screen."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from pourcoach.domain.errors import PourcoachError
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.forms.form import Field, Form
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.page import Page
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH, ScreenSize, use_size
from pourcoach.tui.widgets.text_row import KeyRow, Keys, TextRow

# For a terminal that shows nothing beyond ASCII.
_ASCII = str.maketrans(
    {"±": "+/-", "×": "x", "°": "deg ", "µ": "u", "–": "-", "…": "...", "−": "-", "·": "."}
)
# Two blanks on either side, and the scroll bar.
_SIDES = 5


class FormScreen(LeavesOnce[None]):
    """Answers as it is typed into. Letters belong to the fields, so its keys are function keys."""

    HEADING = ""
    PAGE: ClassVar[Page] = ()
    """Of help."""
    DEFAULT_CSS = """
    FormScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    FormScreen #heading { height: 1; }
    FormScreen #form { margin: 1 0; }
    FormScreen #answer-scroll { height: 1fr; padding: 0 2; scrollbar-size-vertical: 1; }
    FormScreen #answer { width: 100%; height: auto; color: $ink; }
    FormScreen #form-keys { height: 1; }
    FormScreen.-bare #form { margin: 0; max-height: 5; overflow-y: auto; }
    FormScreen.-tiny #form, FormScreen.-tiny #answer-scroll, FormScreen.-tiny #form-keys {
        display: none;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        # With priority, so that what is typed right after them goes to the next field already.
        Binding("tab,enter,down", "next_field", "Next", priority=True),
        Binding("shift+tab,up", "field_before", "Before", priority=True),
        Binding("escape", "back", "Back", priority=True),
        Binding("f1", "help", "Help", priority=True),
        Binding("f3", "why", "Why", priority=True),
        Binding("pagedown", "scroll(1)", priority=True),
        Binding("pageup", "scroll(-1)", priority=True),
    ]

    def __init__(self, fields: Sequence[Field], glyphs: Glyphs = FULL) -> None:
        super().__init__()
        self.glyphs = glyphs
        self._why = False
        self._said = ""
        self._heading = TextRow(glyphs, id="heading")
        self.form = Form(fields, id="form")
        self._answer = Static(id="answer", markup=False)
        self._keys = KeyRow(glyphs, id="form-keys")

    def answer(self, given: Mapping[str, str], width: int, *, why: bool) -> list[str]:
        """What follows from the answers, in lines of about ``width``; raises PourcoachError."""
        raise NotImplementedError

    def keys(self) -> Keys:
        """The screen's own keys, beside those of every form."""
        return ()

    def compose(self) -> ComposeResult:
        yield self._heading
        yield self.form
        with VerticalScroll(id="answer-scroll", can_focus=False):
            yield self._answer
        yield self._keys

    def on_mount(self) -> None:
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        room = use_size(self, event.size)
        self.form.styles.grid_size_columns = 1 if event.size.width < LEAST_TWO_COLUMNS else 2
        needs = f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}"
        self._heading.show("", needs if room is ScreenSize.TINY else self.HEADING)
        self._show()

    def on_form_changed(self) -> None:
        self._said = ""
        self._show()

    def say(self, sentence: str) -> None:
        """Show that something is done, until something else is typed."""
        self._said = sentence
        self._show()

    def say_of(self, error: PourcoachError) -> None:
        """Show what went wrong."""
        self.say(str(error))

    def _show(self) -> None:
        if not self.is_mounted:
            return
        try:
            lines = self.answer(
                self.form.answers(), max(1, self.size.width - _SIDES), why=self._why
            )
        except PourcoachError as error:
            lines = [str(error)]
        if self._said:
            lines = [self._said, "", *lines]
        text = "\n".join(lines)
        self._answer.update(text if self.glyphs.halves else text.translate(_ASCII))
        why = ("f3", "Plain" if self._why else "Why")
        self._keys.show(("tab", "Next"), *self.keys(), why, ("esc", "Back"), ("f1", "Help"))

    def action_next_field(self) -> None:
        self.focus_next(Input)

    def action_field_before(self) -> None:
        self.focus_previous(Input)

    def action_back(self) -> None:
        self.dismiss(None)

    def action_why(self) -> None:
        self._why = not self._why
        self._show()

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(self.PAGE))

    def action_scroll(self, way: int) -> None:
        scroll = self.query_one("#answer-scroll", VerticalScroll)
        if way > 0:
            scroll.scroll_page_down()
        else:
            scroll.scroll_page_up()


LEAST_TWO_COLUMNS = 60
"""Columns of the screen below which fields stand one to a row."""
