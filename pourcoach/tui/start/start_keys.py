"""The keys of the start screen: what they do and how they are shown."""

from textual.binding import Binding, BindingType

from pourcoach.tui.widgets.text_row import Keys

BINDINGS: list[BindingType] = [
    Binding("space,enter", "main", "Brew, or replay", priority=True),
    Binding("tab,right", "focus_list(1)", "Next list", priority=True),
    Binding("shift+tab,left", "focus_list(-1)", "List before", priority=True),
    Binding("r", "go('replay')", "Replay the recording picked", priority=True),
    Binding("d", "go('practise')", "Practise a drill on the scale picked", priority=True),
    Binding("k", "go('sessions')", "Kept brews: search, compare, delete", priority=True),
    Binding("f", "recording_file", "Open a recording file", priority=True),
    Binding("a", "address", "Type a scale address", priority=True),
    Binding("p", "plan_file", "Open a plan file", priority=True),
    Binding("y", "who", "Say who brews", priority=True),
    Binding("o", "arrangement", "What stands on the scale", priority=True),
    Binding("l", "look", "Look again for scales and recordings", priority=True),
    Binding("s", "strength", "Strength and extraction", priority=True),
    Binding("w", "water", "Brew water", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
    # Not Escape: whoever leaves a question with it and presses it twice would be thrown out.
    Binding("q", "go('quit')", "Quit", priority=True),
]

# The last but help go first where there is too little room.
KEYS: Keys = (
    ("tab", "Next list"),
    ("r", "Replay"),
    ("q", "Quit"),
    ("d", "Drills"),
    ("k", "Kept brews"),
    ("s", "Strength"),
    ("w", "Water"),
    ("a", "Address"),
    ("p", "Plan file"),
    ("f", "Recording"),
    ("y", "Who brews"),
    ("l", "Look again"),
    ("?", "Help"),
)
