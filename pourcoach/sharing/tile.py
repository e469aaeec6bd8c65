"""A tile: what one station shows at one moment, small enough to be sent ten times a second.

The one value that wall, page and broker are given. ``tile.schema.json`` beside this module
describes the message for whoever reads it without this program.
"""

from dataclasses import dataclass
from typing import Any

from pourcoach.coaching.moment import at_moment
from pourcoach.domain.advice import CueState, Flag, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.sharing.curve import StationCurve
from pourcoach.wording import cue_sentence, flag_words, next_line

VERSION = 1
FIRST_READING = "Waiting for the first reading of the scale."
LONGEST_SENTENCE = 300
"""Of what a tile says: three lines on a phone."""


@dataclass(frozen=True, slots=True)
class TileFinding:
    """The newest thing noted about a brew."""

    kind: str
    """A FlagKind's value; of a newer program it may be another."""
    says: str
    stage: str | None
    at_s: Seconds
    """Since the first water."""


@dataclass(frozen=True, slots=True)
class Tile:
    """All texts are printable and of bounded length; None where there is nothing to say."""

    station: str
    at: str
    """When it was made, by the station's own clock: ISO 8601, UTC."""
    phase: Phase
    word: Word
    state: CueState
    says: str
    """The word as a sentence."""
    weight_g: Grams | None
    """None while the scale is lost: never a frozen number."""
    off_g: Grams | None
    band_g: Grams | None
    flow_gps: GramsPerSecond | None
    time_s: Seconds | None
    """Since the first water."""
    countdown_s: Seconds | None
    """Until the next pour, while waiting."""
    stage: str | None
    to_g: Grams | None
    """The total when the stage ends."""
    next: str
    finding: TileFinding | None
    link: bool
    """Whether readings come."""
    notice: str | None = None
    """Something about scale or recording that the word does not say."""
    person: str | None = None
    """Who brews; None unless names are shared."""
    run: str = ""
    """Another one for each run of the program, so that two stations of one name are
    distinguished."""
    number: int = 0
    """Rises with each tile of a run."""


def tile_of(
    frame: Frame | None,
    now_s: Seconds,
    *,
    station: str,
    at: str,
    running: bool = True,
    stale: bool = False,
    notice: str | None = None,
    person: str | None = None,
    run: str = "",
    number: int = 0,
) -> Tile:
    """The tile of the newest ``frame`` (None before the first) at ``now_s`` on the tape.

    ``running`` and ``stale`` as in ``at_moment``; ``notice`` is what the session says of scale and
    tape, and takes the sentence's place where the scale is lost.
    """
    said = None if notice is None else printable(notice, LONGEST_SENTENCE)
    named = None if person is None else printable(person)
    if frame is None:
        return Tile(
            station=station,
            at=at,
            phase=Phase.READY,
            word=Word.SCALE,
            state=CueState.LOST,
            says=said or FIRST_READING,
            weight_g=None,
            off_g=None,
            band_g=None,
            flow_gps=None,
            time_s=None,
            countdown_s=None,
            stage=None,
            to_g=None,
            next="",
            finding=None,
            link=False,
            person=named,
            run=run,
            number=number,
        )
    shown = at_moment(frame, now_s, running=running, stale=stale)
    pour = shown.pour
    lost = shown.cue.state is CueState.LOST
    return Tile(
        station=station,
        at=at,
        phase=pour.phase,
        word=shown.cue.word,
        state=shown.cue.state,
        says=said if lost and said else printable(cue_sentence(shown), LONGEST_SENTENCE),
        weight_g=None if lost else shown.weight_g,
        off_g=None if lost else pour.off_g,
        band_g=pour.band_g,
        flow_gps=None if lost else shown.estimate.flow_gps,
        time_s=pour.brew_s,
        countdown_s=pour.countdown_s if shown.cue.word is Word.WAIT else None,
        stage=None if pour.stage is None else pour.stage.name,
        to_g=None if pour.stage is None else pour.stage.to_g,
        next=next_line(pour),
        finding=newest_finding(shown),
        link=not lost,
        notice=None if lost else said,
        person=named,
        run=run,
        number=number,
    )


def grow(curve: StationCurve, tile: Tile) -> None:
    """Let a curve grow by what a tile shows."""
    over = tile.phase is Phase.DONE
    curve.add(tile.time_s, tile.weight_g, tile.off_g, over=over)


def newest_finding(frame: Frame) -> TileFinding | None:
    """The flag that ended last; None where nothing was noted."""
    newest: Flag | None = max(frame.flags, key=lambda flag: flag.end_s, default=None)
    return None if newest is None else finding_of(newest, frame)


def finding_of(flag: Flag, frame: Frame) -> TileFinding:
    """A flag of this frame, in words."""
    start_s = frame.pour.brew_start_s or 0.0
    says = printable(flag_words(flag).measured, LONGEST_SENTENCE)
    return TileFinding(flag.kind.value, says, flag.stage, flag.start_s - start_s)


def tile_dict(tile: Tile) -> dict[str, Any]:
    """The message, ready for ``json_text``. Grams and seconds have as many digits as are seen."""
    finding = tile.finding
    return {
        "tile": VERSION,
        "station": tile.station,
        "run": tile.run,
        "number": tile.number,
        "at": tile.at,
        "phase": tile.phase.value,
        "word": tile.word.value,
        "state": tile.state.value,
        "says": tile.says,
        "weight_g": _rounded(tile.weight_g),
        "off_g": _rounded(tile.off_g),
        "band_g": _rounded(tile.band_g),
        "flow_gps": _rounded(tile.flow_gps),
        "time_s": _rounded(tile.time_s),
        "countdown_s": _rounded(tile.countdown_s),
        "stage": tile.stage,
        "to_g": _rounded(tile.to_g),
        "next": tile.next,
        "finding": None if finding is None else finding_dict(finding),
        "link": tile.link,
        "notice": tile.notice,
        "person": tile.person,
    }


def finding_dict(finding: TileFinding) -> dict[str, Any]:
    """As it stands in a tile, and in a message of its own."""
    return {
        "kind": finding.kind,
        "says": finding.says,
        "stage": finding.stage,
        "at_s": _rounded(finding.at_s),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
