"""What the brew screen shows at one moment, as one value."""

from dataclasses import dataclass, replace

from pourcoach.coaching.moment import at_moment
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Grams, Seconds
from pourcoach.session.protocols import PlaybackControls
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import TONES, Tone
from pourcoach.wording import (
    countdown,
    cue_sentence,
    flag_words,
    key_sentence,
    next_line,
)

NO_FIGURE = "--.-"
ASKED = "AGAIN?"
UNDO = "U BACK"
# What a key did is confirmed this long: to be seen when the eyes are back from the keyboard.
CONFIRMED_S: Seconds = 3.0
FIRST_READING = "Waiting for the first reading of the scale."


@dataclass(frozen=True, slots=True)
class BrewView:
    """All texts are ready to be drawn, of bounded width; None leaves a part out."""

    word: Word
    tone: Tone
    """How loud the panel is."""
    sentence: str
    figure: str
    """Beside the word: the weight in grams, the time left to wait, or a question of the keys."""
    caption: str
    """What the figure is."""
    off_g: Grams | None
    """Weight less target."""
    band_g: Grams | None
    next_line: str
    flow: str
    """In g/s."""
    time: str
    """Since the first water."""
    off: str
    """``off_g`` with its sign."""
    transport: str
    """Where a replay stands; empty in a live brew."""
    notice: str | None
    """Something about scale or tape that the panel does not say already."""
    confirmed: str | None = None
    """What a key just did."""


def brew_view(
    frame: Frame | None,
    now_s: Seconds,
    *,
    running: bool = True,
    stale: bool = False,
    notice: str | None = None,
    transport: str = "",
    notice_s: Seconds = 0.0,
) -> BrewView:
    """The view of the newest ``frame`` (None before the first) at ``now_s`` on the tape.

    ``running`` is False once the session has ended: clocks stand still then. ``stale`` says that
    no frame has come for too long. ``notice`` is what the session says of scale and tape; it
    takes the panel where the scale is lost. For ``notice_s`` after its end a flag is reported
    in its place; 0 shows none.
    """
    if frame is None:
        return _blank(_sentence(notice) if notice else FIRST_READING, transport)
    since_s = max(0.0, now_s - frame.t_s) if running else 0.0
    frame = at_moment(frame, now_s, running=running, stale=stale)
    cue, pour, estimate = frame.cue, frame.pour, frame.estimate
    lost = cue.state is CueState.LOST
    waits = cue.word is Word.WAIT and pour.countdown_s is not None
    if waits and pour.countdown_s is not None:
        pour = pour._replace(countdown_s=countdown(pour.countdown_s))
        frame = frame._replace(pour=pour)
    return BrewView(
        word=cue.word,
        tone=TONES[cue.state],
        sentence=_sentence(notice) if lost and notice else cue_sentence(frame),
        figure=_figure(frame, waits=waits, lost=lost),
        caption=_caption(frame, waits=waits, lost=lost),
        off_g=None if lost else pour.off_g,
        band_g=pour.band_g,
        next_line=next_line(pour),
        flow=NO_FIGURE if lost else _number(estimate.flow_gps),
        time="-:--" if pour.brew_s is None else clock(pour.brew_s),
        off=NO_FIGURE if lost or pour.off_g is None else _number(pour.off_g, sign=True),
        transport=transport,
        notice=None if lost else (_sentence(notice) if notice else _newest_flag(frame, notice_s)),
        confirmed=_confirmed(frame, since_s),
    )


def asked_again(view: BrewView) -> BrewView:
    """The main key waits to be pressed again. The word stays: water may be running."""
    sentence = "Press Space again within a second to end the brew."
    return replace(view, figure=ASKED, caption="", sentence=sentence)


def ended_by_key(view: BrewView, undo_left_s: Seconds) -> BrewView:
    """The brew was ended by key, and for ``undo_left_s`` that can be taken back."""
    return replace(
        view,
        tone=Tone.ACT,
        sentence=f"Press u within {countdown(undo_left_s)} s and the brew goes on.",
        figure=UNDO,
        caption=f"{view.figure} g in {view.time}",
    )


def transport_line(tape: PlaybackControls | None, glyphs: Glyphs) -> str:
    """How a replay runs: its speed and where it is; empty for a live brew."""
    if tape is None:
        return ""
    sign = glyphs.paused if tape.paused else glyphs.running
    start_s = tape.brew_start_s
    if start_s is None:
        return f"{sign} {tape.speed:g}x"
    # The brew's own time, as everywhere else: a tape begins before it.
    at = "before" if tape.position_s < start_s else clock(tape.position_s - start_s)
    return f"{sign} {tape.speed:g}x  {at} of {clock(tape.duration_s - start_s)}"


def _blank(sentence: str, transport: str) -> BrewView:
    return BrewView(
        word=Word.SCALE,
        tone=TONES[CueState.LOST],
        sentence=sentence,
        figure=NO_FIGURE,
        caption="",
        off_g=None,
        band_g=None,
        next_line="",
        flow=NO_FIGURE,
        time="-:--",
        off=NO_FIGURE,
        transport=transport,
        notice=None,
    )


def _figure(frame: Frame, *, waits: bool, lost: bool) -> str:
    if lost:
        return NO_FIGURE
    if waits and frame.pour.countdown_s is not None:
        return clock(frame.pour.countdown_s)
    return _number(frame.weight_g)


def _caption(frame: Frame, *, waits: bool, lost: bool) -> str:
    if lost:
        return ""
    if waits:
        return f"{_number(frame.weight_g)} g poured"
    if frame.pour.phase is Phase.DONE:
        return "g of water"
    stage = frame.pour.stage
    pouring = frame.pour.phase is Phase.POURING
    return f"g of {stage.to_g:.0f}" if stage is not None and pouring else "g"


def _sentence(notice: str) -> str:
    """What is written as the rest of an error line stands alone here."""
    return notice[:1].upper() + notice[1:]


def _confirmed(frame: Frame, since_s: Seconds) -> str | None:
    press = frame.key_press
    if press is None or frame.t_s + since_s - press.t_s >= CONFIRMED_S:
        return None
    return key_sentence(press, frame.pour.brew_start_s)


def _newest_flag(frame: Frame, notice_s: Seconds) -> str | None:
    newest = max(frame.flags, key=lambda flag: flag.end_s, default=None)
    # A flag may span the time until a pour is due: it ends later than now.
    if notice_s <= 0.0 or newest is None or frame.t_s - newest.end_s >= notice_s:
        return None
    return flag_words(newest).measured


def _number(value: float, *, sign: bool = False) -> str:
    """At most five characters: one decimal, none from 1000 (or -100) on."""
    bounded = min(max(value, -999.0), 9999.0)
    digits = 1 if -99.95 < bounded < 999.95 else 0
    rounded = round(bounded, digits) + 0.0
    return f"{rounded:{'+' if sign and rounded else ''}.{digits}f}"
