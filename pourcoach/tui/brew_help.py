"""The keys of the brew screen, and what it means."""

from pourcoach.domain.pour import Phase
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.widgets.text_row import Keys

_MAIN = {
    Phase.READY: "Begin",
    Phase.POURING: "Finish",
    Phase.WAITING: "Finish",
    Phase.DRAINING: "Finish",
    Phase.DONE: "Review",
}

_LIVE = """\
space, enter, click   begin, finish, review
t  tare      m  mark this moment      n  write a note
u  take back the last tare, mark or finish
esc  back    q  quit                  ctrl+p  themes and more

The brew begins by itself at the first water, and ends by itself when the bed has drained \
or the brewer is lifted."""

_REPLAY = """\
space, enter, click, p   pause, go on
{left_right}   5 s back or on
{up_down}   faster, slower
.   one reading on
esc  back    q  quit     ctrl+p  themes and more"""

_SCREEN = """\
The word says what to do now; the more its panel stands out, the more it matters.

The bar shows how far the weight is off the target: under to the left, over to the right. \
Within the double line it is within the tolerance.

The chart shows the plan as dots, its tolerance as a shade, and what was poured as a thick line.

A scale sees how much is poured, not where it goes in the bed.
Hot water scalds: put the kettle down before you touch a key."""


def live_keys(phase: Phase, *, ended: bool) -> Keys:
    """(key, action) pairs of a live brew, help last."""
    if ended:
        return (("space", "Review"), ("esc", "Back"), ("q", "Quit"), ("?", "Help"))
    return (
        ("space", _MAIN[phase]),
        ("t", "Tare"),
        ("m", "Mark"),
        ("n", "Note"),
        ("u", "Undo"),
        ("q", "Quit"),
        ("?", "Help"),
    )


def replay_keys(glyphs: Glyphs, *, paused: bool, ended: bool) -> Keys:
    """(key, action) pairs of a replay, help last."""
    if ended:
        return live_keys(Phase.DONE, ended=True)
    return (
        ("space", "Go on" if paused else "Pause"),
        (glyphs.left_right, "5 s"),
        (glyphs.up_down, "Speed"),
        (".", "Step"),
        ("esc", "Back"),
        ("q", "Quit"),
        ("?", "Help"),
    )


def help_text(glyphs: Glyphs, *, replay: bool) -> str:
    """The page of help."""
    keys = _LIVE
    if replay:
        keys = _REPLAY.format(left_right=glyphs.left_right, up_down=glyphs.up_down)
    return f"{keys}\n\n{_SCREEN}"
