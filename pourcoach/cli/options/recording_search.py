"""The recordings that a command is to look at: named ones, folders, by person and by day."""

import argparse
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.day_option import day
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import WorkError
from pourcoach.recordings.shelf import tapes_below
from pourcoach.recordings.tape import TapeHeader, open_tape
from pourcoach.session.kept.tape import recording_called
from pourcoach.session.kept.who_brewed import as_known
from pourcoach.session.rubric_in_use import judged_under


def add_search_options(
    parser: argparse.ArgumentParser, by: str = "only recordings of this person"
) -> None:
    """Give the parser ``--by``, explained by ``by``, and ``--since``."""
    parser.add_argument("--by", metavar="NAME", help=by)
    parser.add_argument(
        "--since", type=day, metavar="DATE", help="only recordings of that day and later"
    )


@dataclass(frozen=True, slots=True)
class FoundRecording:
    """A recording that is to be judged."""

    path: Path
    header: TapeHeader

    @property
    def recorded_at(self) -> datetime | None:
        """None where the recording does not say."""
        try:
            recorded_at = datetime.fromisoformat(self.header.recorded_at)
        except ValueError:
            return None
        return recorded_at.astimezone()  # one without a zone is of this machine's

    def under(self, rubric: Rubric) -> Callable[[TapeHeader], TapeHeader]:
        """What to judge the recording by in place of its own header."""
        return lambda _: judged_under(self.header, rubric)


class RecordingSearch:
    """Finds what is asked for; what cannot be read is said and keeps no other from being found."""

    def __init__(self, recordings: list[Path], by: str | None, since: datetime | None) -> None:
        self._recordings = recordings
        self._by = by
        self._since = since
        self.failed = False

    def found(self) -> list[FoundRecording]:
        """In the order in which they are named, and by name in a folder."""
        found = []
        for path in self._paths():
            try:
                with open_tape(path) as stream:
                    one = FoundRecording(path, as_known(stream.header, path))
            except WorkError as error:
                self._fail(error)
                continue
            if self._wanted(one):
                found.append(one)
        return found

    def _paths(self) -> Iterator[Path]:
        for path in self._recordings:
            if not path.is_dir():
                try:
                    yield recording_called(str(path))
                except WorkError as error:
                    self._fail(error)
                continue
            count = 0
            try:
                for tape in tapes_below(path):
                    count += 1
                    yield tape
            except WorkError as error:
                self._fail(error)
                continue
            if not count:
                self._fail(WorkError(f"there are no recordings in {path}"))

    def _wanted(self, one: FoundRecording) -> bool:
        by, since = self._by, self._since
        if by is not None and (one.header.by or "").casefold() != by.casefold():
            return False
        return since is None or (one.recorded_at is not None and one.recorded_at >= since)

    def _fail(self, error: WorkError) -> None:
        say_error(error)
        self.failed = True
