"""A few named fields to be typed into."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

LONGEST = 40
"""Characters of an answer."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field. Its key is also the id of its input."""

    key: str
    label: str
    hint: str
    """Shown while it is empty: an example with its unit."""
    usual: str = ""


class Form(Widget, can_focus=False):
    """Fields in columns as wide as there is room for; posts Changed with all answers."""

    class Changed(Message):
        """Something was typed."""

    DEFAULT_CSS = """
    Form { height: auto; layout: grid; grid-size: 2; grid-gutter: 0 2; padding: 0 2; }
    Form .field { height: 1; width: 1fr; }
    Form .label { width: 13; height: 1; color: $dim; }
    Form Input {
        width: 1fr; height: 1; border: none; padding: 0 1;
        background: $wait-ground; color: $wait-ink;
    }
    Form Input:focus { border: none; background: $target-ground; color: $target-ink; }
    Form Input > .input--placeholder { color: $dim; }
    """

    def __init__(self, fields: Sequence[Field], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._fields = fields

    def compose(self) -> ComposeResult:
        for field in self._fields:
            with Horizontal(classes="field"):
                yield Static(field.label, classes="label", markup=False)
                yield Input(field.usual, placeholder=field.hint, max_length=LONGEST, id=field.key)

    def answers(self) -> Mapping[str, str]:
        """What is typed, by key; fields left empty are left out."""
        given = {each.id: each.value.strip() for each in self.query(Input) if each.id}
        return {key: text for key, text in given.items() if text}

    def fill(self, answers: Mapping[str, str]) -> None:
        """Put these in, and clear the other fields."""
        for each in self.query(Input):
            each.value = answers.get(each.id or "", "")

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self.post_message(self.Changed())
