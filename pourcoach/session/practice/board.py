"""A drill as others see it: no more than its student may see."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime

from pourcoach.domain.advice import USUAL_STATE, Word
from pourcoach.domain.pour import Phase
from pourcoach.practice.assignment import Mode
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import Tile, tile_of
from pourcoach.wording import practice as words


class PracticeBoard:
    """A Board of one station, made from Glances alone: what a mode hides is not in them."""

    notice: str | None = None

    def __init__(self, station: str, current: Callable[[], PracticeSession | None]) -> None:
        """``current`` gives the pour under way; None before the first."""
        self._station = station
        self._current = current

    def seen(self) -> Sequence[SeenStation]:
        session = self._current()
        if session is None:
            return (SeenStation(self._station, TileAge.WAITING),)
        return (practice_seen(session, self._station),)


def practice_seen(session: PracticeSession, station: str) -> SeenStation:
    """A pour of a drill as one station."""
    glance = session.newest
    line = () if glance is None or glance.frame is None else plan_line(glance.frame)
    return SeenStation(
        station,
        TileAge.LIVE,
        _tile(session, glance, station),
        0.0,
        plan_line=line,
        pitch=session.attempt.assignment.mode is Mode.ASSIST,
    )


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
