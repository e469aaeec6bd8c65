"""The keys of the review: what they do and how they are shown."""

from enum import Enum

from textual.binding import Binding, BindingType

from pourcoach.tui.widgets.text_row import Keys


class After(Enum):
    """What the brewer wants after the review."""

    BACK = "back"
    REPLAY = "replay"
    AGAIN = "again"
    QUIT = "quit"


BINDINGS: list[BindingType] = [
    Binding("space,enter", "next", "Next stage", priority=True),
    *(
        Binding(str(number), f"pick({number - 1})", show=False, priority=True)
        for number in range(1, 10)
    ),
    Binding("0", "pick(-1)", "Whole brew", priority=True),
    Binding("d", "details", "All that was noted", priority=True),
    Binding("l", "look", "Say how the bed looked", priority=True),
    Binding("n", "ask('note')", "Write a note", priority=True),
    Binding("t", "ask('taste')", "Say how it tasted", priority=True),
    Binding("c", "ask('changed')", "Say what was changed", priority=True),
    Binding("a", "advice", "What to change next", priority=True),
    Binding("s", "strength", "Strength and extraction", priority=True),
    Binding("w", "water", "Brew water", priority=True),
    Binding("e", "export", "Write the brew into a file", priority=True),
    Binding("r", "leave('replay')", "Replay, from the stage that is picked", priority=True),
    Binding("k", "cup", "Cup notes", priority=True),
    Binding("v", "compare", "Compare with another brew", priority=True),
    Binding("b", "leave('again')", "Brew again", priority=True),
    Binding("escape", "leave('back')", "Back", priority=True),
    Binding("q", "leave('quit')", "Quit", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
]


def review_keys(*, replay: bool, compare: bool, again: bool, keeps: bool) -> Keys:
    """(key, action) pairs of what can be done, help last. Where there is little room, those before
    it go first.
    """
    return (
        ("space", "Stages"),
        ("d", "Details"),
        *((("r", "Replay"),) if replay else ()),
        *((("v", "Compare"),) if compare else ()),
        *((("b", "Brew again"),) if again else ()),
        ("esc", "Back"),
        ("q", "Quit"),
        *(
            (("k", "Cup"), ("l", "Bed"), ("t", "Taste"), ("a", "Advice"), ("e", "Export"))
            if keeps
            else ()
        ),
        ("s", "Strength"),
        ("w", "Water"),
        ("?", "Help"),
    )
