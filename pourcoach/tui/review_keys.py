"""The keys of the review: what they do, how they are shown, and the page of help."""

from textual.binding import Binding, BindingType

from pourcoach.tui.widgets.text_row import Keys

BINDINGS: list[BindingType] = [
    Binding("space,enter", "next", "Next stage", priority=True),
    *(
        Binding(str(number), f"pick({number - 1})", show=False, priority=True)
        for number in range(1, 10)
    ),
    Binding("0", "pick(-1)", "Whole brew", priority=True),
    Binding("d", "details", "Details", priority=True),
    Binding("l", "look", "Bed", priority=True),
    Binding("n", "ask('note')", "Note", priority=True),
    Binding("t", "ask('taste')", "Taste", priority=True),
    Binding("c", "ask('changed')", "Changed", priority=True),
    Binding("a", "advice", "Advice", priority=True),
    Binding("s", "strength", "Strength", priority=True),
    Binding("w", "water", "Water", priority=True),
    Binding("e", "export", "Export", priority=True),
    Binding("r", "leave('replay')", "Replay", priority=True),
    Binding("b", "leave('again')", "Brew again", priority=True),
    Binding("escape", "leave('back')", "Back", priority=True),
    Binding("q", "leave('quit')", "Quit", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
]

REVIEW_HELP = """\
The headline is what would help most next time. It rests on what the scale
saw; below it stand the figures.

EVEN? tells whether the flow within the stage was a steady hand's, and by
how much it wandered. "unsure" is above the limit, but by less than its
own error.

Above the chart, ! marks what the hand did and a double line where the
scale was disturbed. Below it stands how far the weight was off the target.

A scale sees how much is poured, not where it goes in the bed.

  space, 1-9  look at a stage        0   the whole brew
  d   all that was noted             l   say how the bed looked
  n   write a note                   r   replay
  t   say how it tasted              c   say what was changed
  a   what to change next            e   write the review into a file
  s   strength and extraction        w   brew water
  b   brew again                     esc back    q   quit"""


def review_keys(*, replay: bool, again: bool, keeps: bool) -> Keys:
    """(key, action) pairs of what can be done, help last. Where there is little room, those before
    it go first.
    """
    return (
        ("space", "Stages"),
        ("d", "Details"),
        *((("r", "Replay"),) if replay else ()),
        *((("b", "Brew again"),) if again else ()),
        ("esc", "Back"),
        ("q", "Quit"),
        *((("l", "Bed"), ("t", "Taste"), ("a", "Advice"), ("e", "Export")) if keeps else ()),
        ("s", "Strength"),
        ("w", "Water"),
        ("?", "Help"),
    )
