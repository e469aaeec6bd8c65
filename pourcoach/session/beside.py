"""What goes on beside a brew for others to see: sharing it, showing it on a page."""

import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

from pourcoach.domain.units import Seconds
from pourcoach.places import data_folder
from pourcoach.session.one_brew import OneBrew
from pourcoach.session.protocols import Session
from pourcoach.sharing.outbox import Outbox
from pourcoach.sharing.room import Room
from pourcoach.sharing.shared_brew import SharedBrew

if TYPE_CHECKING:
    from pourcoach.sharing.sharer import Sharer

# A recording of usual length takes a fraction of it; who closes the program does not wait longer.
LAST_CHANCE_S: Seconds = 5.0
LOOK_EVERY_S: Seconds = 0.05


def another_run() -> str:
    """Another word for each run of the program."""
    return f"{time.time_ns():x}"


class Shared:
    """What is shared into a room while the ``with`` lasts; nothing where there is no room."""

    def __init__(
        self,
        station: str,
        shown: SharedBrew,
        *,
        room: Room | None,
        run: str,
        named: bool = False,
        say: Callable[[str], None] = lambda _: None,
    ) -> None:
        """``named``: whether the brewer's name goes with recordings. ``say`` is given what did not
        go out, at the end."""
        self._named = named
        self._say = say
        self._stack = ExitStack()
        self._sharer: Sharer | None = None
        if room is not None:
            # The broker's client: a tenth of a second to import.
            from pourcoach.sharing import sharer

            outbox = Outbox(data_folder() / "outbox", room)
            self._sharer = sharer.Sharer(room, station, shown, outbox, run)

    def __enter__(self) -> Self:
        if self._sharer is not None:
            self._stack.enter_context(self._sharer)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        sharer = self._sharer
        if sharer is not None and error is None:
            until_s = time.monotonic() + LAST_CHANCE_S
            while sharer.waiting and sharer.trouble is None and time.monotonic() < until_s:
                time.sleep(LOOK_EVERY_S)
            if sharer.waiting:
                why = f" ({sharer.trouble})" if sharer.trouble else ""
                self._say(
                    f"a recording has not arrived in the room yet{why}; it is sent the next time "
                    "you share there"
                )
        self._stack.close()

    def send(self, recording: Path) -> None:
        """A recording is whole. Raises WorkError where it cannot be put up for sending."""
        if self._sharer is not None:
            self._sharer.send(recording, name=self._named)


class Beside:
    """Lasts as long as the program shows brews; each brew in turn is given to ``show``."""

    def __init__(
        self,
        station: str,
        *,
        room: Room | None = None,
        person: str | None = None,
        say: Callable[[str], None] = lambda _: None,
    ) -> None:
        """``room``: where it is shared; None shares nothing. ``person`` only where names are to be
        seen. ``say`` is given what did not go out, at the end.
        """
        run = another_run()
        self.board = OneBrew(station, person=person, run=run)
        self._shared = Shared(
            station, self.board, room=room, run=run, named=person is not None, say=say
        )

    def __enter__(self) -> Self:
        self._shared.__enter__()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._shared.__exit__(kind, error, trace)

    def show(self, session: Session) -> None:
        """Others see this one from now on."""
        self.board.show(session)

    def kept(self, recording: Path) -> None:
        """A brew is over and its recording whole. Raises WorkError where it cannot be put up for
        sending."""
        self.board.ended()
        self._shared.send(recording)
