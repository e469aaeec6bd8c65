"""The keys of the sessions screen: what they do and how they are shown."""

from textual.binding import Binding, BindingType

from pourcoach.tui.renderables.page import Page, Table
from pourcoach.tui.widgets.text_row import Keys

BINDINGS: list[BindingType] = [
    Binding("enter", "open", "Open its review", priority=True),
    Binding("space", "mark", "Mark it to be compared or deleted", priority=True),
    Binding("up", "move(-1)", show=False, priority=True),
    Binding("down", "move(1)", show=False, priority=True),
    Binding("pageup", "page(-1)", show=False, priority=True),
    Binding("pagedown", "page(1)", show=False, priority=True),
    Binding("home", "jump(0)", show=False, priority=True),
    Binding("end", "jump(-1)", show=False, priority=True),
    Binding("slash,f", "search", "Search", priority=True),
    Binding("o", "order", "Sort otherwise", priority=True),
    Binding("c,v", "compare", "Compare those marked", priority=True),
    Binding("r", "replay", "Replay", priority=True),
    Binding("n", "cup", "Cup notes", priority=True),
    Binding("t", "tag", "Tag", priority=True),
    Binding("delete,d", "delete", "Delete, into the bin", priority=True),
    Binding("u", "undo", "Take back what was deleted", priority=True),
    Binding("escape", "back", "Back", priority=True),
    Binding("q", "quit_all", "Quit", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
]

KEYS: Keys = (
    ("enter", "Open"),
    ("space", "Mark"),
    ("/", "Search"),
    ("c", "Compare"),
    ("d", "Delete"),
    ("esc", "Back"),
    ("o", "Sort"),
    ("n", "Cup"),
    ("r", "Replay"),
    ("t", "Tag"),
    ("?", "Help"),
)

PAGE: Page = (
    "All brews that are kept, the newest first. Below stand the curve of the one that is picked,"
    " what leads its review, and what was said of it.",
    "",
    "A search looks for all of its words in what is known of a brew: who, coffee, water, title,"
    " tags, verdict, findings (as bloom-short), notes, date, the recording's name.",
    "",
    Table(
        (
            ("enter, click", "open the review of the one that is picked"),
            ("space", "mark it, or not (Shift+click too)"),
            ("/", "search; empty shows all again"),
            ("o", "sort by when, who, coffee, verdict, marks"),
            ("c", "compare those marked: two to six"),
            ("r", "replay"),
            ("n", "cup notes: scores on your own scale, words, the bed"),
            ("t", "tags, with blanks between; -word takes one off"),
            ("d", "delete those marked, or the one that is picked"),
            ("u", "take back what was deleted"),
            ("esc", "end the search, or go back"),
        )
    ),
    "",
    "What is deleted goes to a bin; 'pourcoach sessions empty' empties it. A brew whose recording"
    " is gone stays in the list, marked GONE where it was never judged.",
)
