"""What the wall shows of one station, as one value."""

from dataclasses import dataclass
from datetime import datetime

from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.units import Grams
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.tile import Tile
from pourcoach.tui.renderables.palette import TONES, Tone
from pourcoach.wording import countdown

NO_FIGURE = "--.-"
NO_TIME = "-:--"
_QUIET = {TileAge.OLD: "OLD", TileAge.GONE: "GONE"}
"""In the word's place, where a tile says nothing of now."""


@dataclass(frozen=True, slots=True)
class TileView:
    """All texts are ready to be drawn."""

    name: str
    person: str
    """Empty where it is not known or names are hidden."""
    word: str
    mark: Word
    """Whose mark stands before it."""
    tone: Tone
    figure: str
    """The weight in grams, or the time left to wait."""
    caption: str
    time: str
    off_g: Grams | None
    band_g: Grams | None
    next_line: str
    finding: str
    says: str
    """The word as a sentence, or what is wrong."""
    flow: str
    off: str
    """With its sign."""


def tile_view(seen: SeenStation, *, names: bool = True) -> TileView:
    """``names``: whether people's names may be shown."""
    tile = seen.tile
    person = tile.person or "" if tile is not None and names else ""
    if tile is None:
        return _blank(seen, _sentence(seen.trouble) or _waiting(seen))
    finding = "" if tile.finding is None else tile.finding.says
    quiet = _QUIET.get(seen.standing)
    lost = not tile.link or quiet is not None or seen.trouble is not None
    waits = tile.word is Word.WAIT and tile.countdown_s is not None and not lost
    return TileView(
        name=seen.name,
        person=person,
        word=quiet or (Word.SCALE.value if seen.trouble else tile.word.value),
        mark=Word.SCALE if lost else tile.word,
        tone=Tone.WAIT if quiet else TONES[CueState.LOST if seen.trouble else tile.state],
        figure=_figure(tile, lost=lost, waits=waits),
        caption=_caption(tile, lost=lost, waits=waits),
        time=NO_TIME if tile.time_s is None else clock(tile.time_s),
        off_g=None if lost else tile.off_g,
        band_g=tile.band_g,
        next_line="" if lost else tile.next,
        finding=finding,
        says=_sentence(seen.trouble) or (_last(seen, tile) if quiet else tile.notice or tile.says),
        flow=NO_FIGURE if lost or tile.flow_gps is None else f"{tile.flow_gps:.1f}",
        off=NO_FIGURE if lost or tile.off_g is None else f"{_bounded(tile.off_g):+.1f}",
    )


def age_words(age_s: float) -> str:
    """How old something is: "4 s", "3 min"."""
    return f"{age_s:.0f} s" if age_s < 120 else f"{age_s / 60:.0f} min"


def _sentence(trouble: str | None) -> str:
    return "" if trouble is None else trouble[:1].upper() + trouble[1:]


def _waiting(seen: SeenStation) -> str:
    return "It is gone." if seen.standing is TileAge.GONE else "Nothing has come yet."


def _last(seen: SeenStation, tile: Tile) -> str:
    weight = "" if tile.weight_g is None else f" {tile.weight_g:.0f} g"
    when = _when(tile.at) if seen.age_s is None else f"{age_words(seen.age_s)} ago"
    return f"Last {when}: {tile.word.value}{weight}"


def _when(at: str) -> str:
    """When the station says that it made a tile; its clock may be another than ours."""
    try:
        return f"{datetime.fromisoformat(at).astimezone():%Y-%m-%d %H:%M} by its clock"
    except (ValueError, OverflowError, OSError):
        return "at a time that is not known"


def _figure(tile: Tile, *, lost: bool, waits: bool) -> str:
    if lost or tile.weight_g is None:
        return NO_FIGURE
    if waits and tile.countdown_s is not None:
        return clock(countdown(tile.countdown_s))
    return f"{_bounded(tile.weight_g):.1f}"


def _bounded(grams: Grams) -> Grams:
    return min(max(grams, -999.0), 9999.0)


def _caption(tile: Tile, *, lost: bool, waits: bool) -> str:
    if lost or tile.weight_g is None:
        return ""
    if waits:
        return f"{tile.weight_g:.1f} g poured"
    return "g" if tile.to_g is None else f"g of {tile.to_g:.0f}"


def _blank(seen: SeenStation, says: str) -> TileView:
    quiet = _QUIET.get(seen.standing)
    return TileView(
        name=seen.name,
        person="",
        word=quiet or Word.SCALE.value,
        mark=Word.SCALE,
        tone=Tone.ACT if seen.trouble else Tone.WAIT,
        figure=NO_FIGURE,
        caption="",
        time=NO_TIME,
        off_g=None,
        band_g=None,
        next_line="",
        finding="",
        says=says,
        flow=NO_FIGURE,
        off=NO_FIGURE,
    )
