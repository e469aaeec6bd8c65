"""The keys of the brew screen: what they do and how they are shown."""

from collections.abc import Callable, Mapping

from textual.binding import Binding, BindingType

from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.session.protocols import BrewControls, PlaybackControls, Skip
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.widgets.text_row import Keys

SEEK_S: Seconds = 5.0

HANDS: Mapping[str, Callable[[BrewControls], None]] = {
    "tare": lambda hands: hands.tare(),
    "mark": lambda hands: hands.mark(),
    "undo": lambda hands: hands.undo(),
}
TRANSPORT: Mapping[str, Callable[[PlaybackControls], None]] = {
    "pause": lambda tape: tape.pause(),
    "step": lambda tape: tape.step(),
    "back": lambda tape: tape.seek(-SEEK_S),
    "on": lambda tape: tape.seek(SEEK_S),
    "faster": lambda tape: tape.faster(),
    "slower": lambda tape: tape.slower(),
    "home": lambda tape: tape.skip(Skip.BEGINNING),
    "end": lambda tape: tape.skip(Skip.END),
    "stage_before": lambda tape: tape.skip(Skip.STAGE_BEFORE),
    "next_stage": lambda tape: tape.skip(Skip.NEXT_STAGE),
    "finding_before": lambda tape: tape.skip(Skip.FINDING_BEFORE),
    "next_finding": lambda tape: tape.skip(Skip.NEXT_FINDING),
}
BACKWARDS = frozenset({"back", "home", "stage_before", "finding_before"})
"""What can still be done at the end of a replay."""

# With priority, since nothing here can be focused. No Shift or Ctrl with Space or Enter, and
# no Ctrl+H, I, M: many terminals cannot distinguish them.
BINDINGS: list[BindingType] = [
    Binding("space,enter", "main", "Begin, finish, pause", priority=True),
    Binding("t", "ask('tare')", "Tare", priority=True),
    Binding("m", "ask('mark')", "Mark this moment", priority=True),
    Binding("u", "ask('undo')", "Undo the last tare, mark or finish", priority=True),
    Binding("n", "note", "Write a note", priority=True),
    Binding("b", "again", "Begin again", priority=True),
    Binding("p", "wind('pause')", "Pause, go on", priority=True),
    Binding("full_stop", "wind('step')", "One reading on", priority=True),
    Binding("left", "wind('back')", "5 s back", priority=True),
    Binding("right", "wind('on')", "5 s on", priority=True),
    Binding("up,plus", "wind('faster')", "Faster", priority=True),
    Binding("down,minus", "wind('slower')", "Slower", priority=True),
    Binding("up", "tip(1)", "Tilt the kettle", priority=True),
    Binding("down", "tip(-1)", "Tilt it back", priority=True),
    Binding("0", "let_go", "Let the kettle go", priority=True),
    Binding("f", "refill", "Refill the kettle", priority=True),
    Binding("home", "wind('home')", "To the beginning", priority=True),
    Binding("end", "wind('end')", "To the end", priority=True),
    Binding("pageup", "wind('stage_before')", "The stage before", priority=True),
    Binding("pagedown", "wind('next_stage')", "The next stage", priority=True),
    Binding("shift+tab", "wind('finding_before')", "The finding before", priority=True),
    Binding("tab", "wind('next_finding')", "The next finding", priority=True),
    Binding("question_mark", "help", "Help", priority=True),
    Binding("escape", "back", "Back", priority=True),
    Binding("q", "leave", "Quit", priority=True),
]

_MAIN = {
    Phase.READY: ("space", "Begin"),
    Phase.POURING: ("2x space", "Finish"),
    Phase.WAITING: ("2x space", "Finish"),
    Phase.DRAINING: ("space", "Finish"),
}


def live_keys(phase: Phase, *, ended: bool, again: bool = False) -> Keys:
    """(key, action) pairs of a live brew, help last; ``again`` where it can be begun again."""
    begin_again = (("b", "Begin again"),) if again else ()
    if ended:
        return (("space", "Review"), *begin_again, ("esc", "Back"), ("q", "Quit"), ("?", "Help"))
    if phase is Phase.DONE:
        return (("u", "Undo"), ("n", "Note"), *begin_again, ("q", "Quit"), ("?", "Help"))
    return (
        _MAIN[phase],
        ("t", "Tare"),
        ("m", "Mark"),
        ("n", "Note"),
        ("u", "Undo"),
        *begin_again,
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
        ("pgdn", "Stage"),
        ("tab", "Finding"),
        (".", "Step"),
        ("esc", "Back"),
        ("q", "Quit"),
        ("?", "Help"),
    )
