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

_SCREEN = """\
The word says what to do now. The brighter its panel, the more it matters:
dark is waiting, blue is on target, amber is something to do.

The bar shows how far the weight is off the target now: under to the left,
over to the right; double lines are within the tolerance.

The chart shows the plan as dots, its tolerance as a shade and what is
poured as a thick line.

A scale sees how much is poured, not where it goes in the bed.
Hot water scalds: put the kettle down before you touch a key."""

_LIVE = """\
The brew begins by itself at the first water and ends by itself when the
bed has drained or the brewer is lifted.

  space, enter, click   begin; finish
  t   tare              m   mark this moment
  n   write a note      u   undo tare, mark or finish
  esc back              q   quit          ctrl+p  themes and more"""

_REPLAY = """\
  space, enter, click, p   pause, go on
  {left_right}   5 s back or on
  {up_down}      faster or slower
  .   one reading on
  esc back   q quit   ctrl+p themes and more"""


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
    return f"{_SCREEN}\n\n{keys}"
