"""The keys of the wall, and its page of help."""

from textual.binding import Binding, BindingType

from pourcoach.tui.renderables.page import Page, Table

BINDINGS: list[BindingType] = [
    Binding("left", "move(-1)", "The station before", priority=True),
    Binding("right,tab", "move(1)", "The next station", priority=True),
    Binding("up", "move_row(-1)", "The station above", priority=True),
    Binding("down", "move_row(1)", "The station below", priority=True),
    Binding("space,enter", "whole", "One station whole, all stations", priority=True),
    Binding("s", "start", "Start a brew", priority=True),
    Binding("f", "finish", "Finish the brew", priority=True),
    Binding("t", "tare", "Tare", priority=True),
    Binding("n", "note", "Write a note", priority=True),
    Binding("d", "turn", "Turn to the next drill, or to brewing", priority=True),
    Binding("e", "estimate", "Type the student's estimate", priority=True),
    Binding("h", "names", "Hide or show names", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
    Binding("escape", "back", "Back", priority=True),
    Binding("q", "leave", "Quit", priority=True),
]


def wall_page(*, asks: bool) -> Page:
    """Help: keys and what stands on a tile."""
    keys: tuple[tuple[str, str], ...] = (
        ("arrows, tab", "select a station; Esc selects none, and then all are meant"),
        ("space, enter", "the selected station alone, or all again"),
    )
    if asks:
        keys += (
            ("s", "start the next brew where none is under way"),
            ("f", "finish: the brew is kept"),
            ("t", "tare"),
            ("n", "write a note on the recording"),
            ("d", "turn to the lesson's next drill, or back to brewing; then start it"),
            ("e", "type what a student thinks they poured, where a drill asks for it"),
        )
    keys += (("h", "hide names, or show them"), ("esc", "back; q quits"))
    return (
        "Each tile is a station: the word it is given, its weight, how far off the target it is,"
        " what comes next and what was noted last. Dark: nothing to do. Blue: on target. Bright:"
        " something is to be done.",
        "",
        "SCALE? means that its scale sends nothing. OLD means that nothing has come for two"
        " seconds, and GONE that the station or its connection has ended.",
        "",
        Table(keys),
    )
