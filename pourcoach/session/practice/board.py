"""A drill as others see it: no more than its student may see."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from pourcoach.domain.advice import USUAL_STATE, FlagKind, Word
from pourcoach.domain.pour import Phase
from pourcoach.practice.assignment import Mode
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import Tile, TileFinding, tile_of
from pourcoach.wording import practice as words


class PracticeBoard:
    """A Board of one station, made from Glances alone: what a mode hides is not in them."""

    notice: str | None = None

    def __init__(
        self,
        station: str,
        current: Callable[[], PracticeSession | None],
        *,
        title: str | None = None,
        person: str | None = None,
        run: str = "",
    ) -> None:
        """``current`` gives the pour under way; None before the first. ``title`` of the drill is
        said with where the pour stands, for who sees many stations. ``person`` is shown to whoever
        looks; leave it out unless that was asked for."""
        self._station = station
        self._current = current
        self._title = title
        self._person = person
        self._run = run
        self._number = 0

    def look(self) -> SeenStation:
        """The pour now. May be called from any thread."""
        session = self._current()
        if session is None:
            return SeenStation(self._station, TileAge.WAITING)
        self._number += 1
        return practice_seen(
            session,
            self._station,
            title=self._title,
            person=self._person,
            run=self._run,
            number=self._number,
        )

    def seen(self) -> Sequence[SeenStation]:
        return (self.look(),)

    def findings(self) -> list[tuple[tuple[FlagKind, str | None], TileFinding]]:
        """None: what a drill judges comes as its result, where there is one."""
        return []


def practice_seen(
    session: PracticeSession,
    station: str,
    *,
    title: str | None = None,
    says: str | None = None,
    person: str | None = None,
    run: str = "",
    number: int = 0,
) -> SeenStation:
    """A pour of a drill as one station; ``says`` takes the place of the sentence. With ``title``,
    where nothing is measured for the eye, comes where the pour stands: last, for a small tile cuts
    that off and not what is asked now."""
    glance = session.newest
    line = () if glance is None or glance.frame is None else plan_line(glance.frame)
    tile = _tile(session, glance, station)
    said = tile.says if says is None else says
    if title is not None and tile.weight_g is None:
        said = f"{said} {place_of(session, title)}."
    tile = replace(tile, says=said, person=person, run=run, number=number)
    return SeenStation(
        station,
        TileAge.LIVE,
        tile,
        0.0,
        plan_line=line,
        pitch=session.attempt.assignment.mode is Mode.ASSIST,
    )


def place_of(session: PracticeSession, title: str) -> str:
    """The drill, and where this pour stands in its schedule."""
    place = words.place_words(session.attempt.assignment.place)
    return f"{title}, {place[:1].lower()}{place[1:]}"


def _tile(session: PracticeSession, glance: Glance | None, station: str) -> Tile:
    at = datetime.now(UTC).isoformat(timespec="milliseconds")
    if glance is None:
        return tile_of(None, 0.0, station=station, at=at, notice=session.notice)
    step = glance.step
    if glance.frame is not None and step in (Step.READY, Step.POURING):
        return tile_of(
            glance.frame,
            session.brew.now(),
            station=station,
            at=at,
            notice=session.notice,
        )
    word, says = _said(session, glance)
    return Tile(
        station=station,
        at=at,
        phase=_PHASES[step],
        word=word,
        state=USUAL_STATE[Word.WAIT if word is Word.POUR else word],
        says=says,
        weight_g=None,
        off_g=None,
        band_g=None,
        flow_gps=None,
        time_s=glance.time_s,
        countdown_s=None,
        stage=None,
        to_g=None,
        next="",
        finding=None,
        link=True,
        notice=session.notice,
    )


_PHASES = {
    Step.READY: Phase.READY,
    Step.POURING: Phase.POURING,
    Step.ASKING: Phase.DONE,
    Step.WAITING: Phase.DONE,
    Step.SHOWN: Phase.DONE,
    Step.OVER: Phase.DONE,
}


def _said(session: PracticeSession, glance: Glance) -> tuple[Word, str]:
    """The word and the sentence where nothing is measured for the eye."""
    assignment = session.attempt.assignment
    match glance.step:
        case Step.READY:
            return Word.READY, assignment.task
        case Step.POURING if glance.server_full:
            return Word.STOP, words.SERVER_FULL
        case Step.POURING:
            return Word.POUR, "Go on as you mean to."
        case Step.ASKING:
            pours = len(session.attempt.plan.stages)
            return Word.DONE, words.asked_sentence(assignment.asks, pours)
        case Step.WAITING:
            return Word.WAIT, "The result comes in a moment."
        case Step.SHOWN if glance.result is not None:
            return Word.DONE, words.result_sentence(glance.result)
        case _:
            return Word.DONE, "No result in this pour."
