"""What a session shows of itself at one moment: phase, view and keys."""

from pourcoach.domain.errors import WorkError
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.session.protocols import BrewControls, PlaybackControls, Session
from pourcoach.tui.brew.brew_keys import live_keys, replay_keys
from pourcoach.tui.brew.brew_view import (
    BrewView,
    asked_again,
    brew_view,
    ended_by_key,
    transport_line,
)
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.widgets.text_row import Keys

# A replay shows what was noted, long enough to be read; a live brew has one word at a time.
NOTICE_S: Seconds = 6.0

BREWING = (Phase.POURING, Phase.WAITING, Phase.DRAINING)


class SessionState:
    """One session, live or replayed, and whether it has ended."""

    def __init__(self, session: Session, glyphs: Glyphs) -> None:
        self.session = session
        self.hands = session if isinstance(session, BrewControls) else None
        """The controls of a live brew; None for a replay."""
        self.transport = session if isinstance(session, PlaybackControls) else None
        """The controls of a replay; None for a live brew."""
        self.ended = False
        self.error: WorkError | None = None
        """Why the session could not go on; None while it can."""
        self._glyphs = glyphs

    @property
    def phase(self) -> Phase:
        frame = self.session.newest
        return Phase.READY if frame is None else frame.pour.phase

    @property
    def brewing(self) -> bool:
        """Whether leaving now would cut a live brew short."""
        return self.hands is not None and not self.ended and self.phase in BREWING

    def view(self, *, held_up: bool) -> BrewView:
        """``held_up``: whether no Frame has come for long."""
        session, hands, transport = self.session, self.hands, self.transport
        view = brew_view(
            session.newest,
            session.now(),
            running=not self.ended,
            # A replay may be paused, and has no scale to lose.
            stale=transport is None and held_up,
            notice=session.notice if self.error is None else str(self.error),
            transport=transport_line(transport, self._glyphs),
            notice_s=0.0 if transport is None else NOTICE_S * transport.speed,
        )
        if hands is None or self.ended:
            return view
        undo_left_s = hands.undo_left_s
        if undo_left_s > 0.0:
            return ended_by_key(view, undo_left_s)
        return asked_again(view) if hands.finish_asked else view

    def keys(self, *, again: bool) -> Keys:
        """``again``: whether another brew of the same kind can follow."""
        if self.transport is None:
            return live_keys(self.phase, ended=self.ended, again=again)
        return replay_keys(self._glyphs, paused=self.transport.paused, ended=self.ended)

    def until(self, moment_s: Seconds) -> Seconds:
        """How long a moment of the session is away, by the wall."""
        speed = 1.0 if self.transport is None else self.transport.speed
        return (moment_s - self.session.now()) / speed
