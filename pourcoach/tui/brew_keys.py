"""The keys of the brew screen: what they do, how they are shown, and the page of help."""

from collections.abc import Callable, Mapping

from textual.binding import Binding, BindingType

from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.session.protocols import Hands, Transport
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.widgets.text_row import Keys

SEEK_S: Seconds = 5.0

HANDS: Mapping[str, Callable[[Hands], None]] = {
    "tare": lambda hands: hands.tare(),
    "mark": lambda hands: hands.mark(),
    "undo": lambda hands: hands.undo(),
}
TRANSPORT: Mapping[str, Callable[[Transport], None]] = {
    "pause": lambda tape: tape.pause(),
    "step": lambda tape: tape.step(),
    "back": lambda tape: tape.seek(-SEEK_S),
    "on": lambda tape: tape.seek(SEEK_S),
    "faster": lambda tape: tape.faster(),
    "slower": lambda tape: tape.slower(),
}

# With priority, since nothing here can be focused. No Shift or Ctrl with Space or Enter, and
# no Ctrl+H, I, M: many terminals cannot tell them apart.
BINDINGS: list[BindingType] = [
    Binding("space,enter", "main", "Start, stop, pause", priority=True),
    Binding("t", "ask('tare')", "Tare", priority=True),
    Binding("m", "ask('mark')", "Mark", priority=True),
    Binding("u", "ask('undo')", "Undo", priority=True),
    Binding("n", "note", "Note", priority=True),
    Binding("p", "wind('pause')", "Pause", priority=True),
    Binding("full_stop", "wind('step')", "Step", priority=True),
    Binding("left", "wind('back')", "Back", priority=True),
    Binding("right", "wind('on')", "On", priority=True),
    Binding("up,plus", "wind('faster')", "Faster", priority=True),
    Binding("down,minus", "wind('slower')", "Slower", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
    Binding("escape", "back", "Back", priority=True),
    Binding("q", "leave", "Quit", priority=True),
]

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
        review, *others = live_keys(Phase.DONE, ended=True)
        return (review, ("left", "5 s back"), *others)
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
