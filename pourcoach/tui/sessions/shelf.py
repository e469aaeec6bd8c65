"""What the sessions screen asks of the library. None of it belongs on the event loop."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.afterwards import Afterword
from pourcoach.library.bin import put_in_bin, restore
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Brew, OpenedBrew, Search
from pourcoach.library.saying import say
from pourcoach.session.judging.many import Progress
from pourcoach.session.judging.up_to_date import judge_beside, sentences
from pourcoach.session.kept.keeping import take_up


class Shelf(Protocol):
    """Every method raises PourcoachError where the library refuses."""

    def look(self) -> list[str]:
        """See what was done to the recordings by hand; a sentence for each thing."""
        ...

    def brews(self, search: Search, most: int | None = None) -> list[Brew]:
        """The newest first: ``most`` of them, or all."""
        ...

    def open(self, number: int) -> OpenedBrew:
        """All that is known of a brew."""
        ...

    def judge(self, progress: Progress, stopped: Callable[[], bool]) -> list[str]:
        """Judge what waits to be judged; a sentence for what cannot be."""
        ...

    def delete(self, brews: Sequence[Brew]) -> None:
        """Into the bin."""
        ...

    def restore(self, brews: Sequence[Brew]) -> None:
        """Out of it."""
        ...

    def say(self, number: int, words: Sequence[Afterword]) -> str | None:
        """Keep words with a brew; a sentence where they are not on its recording yet."""
        ...


@dataclass(frozen=True, slots=True)
class KeptShelf:
    """This machine's library."""

    rubric: Rubric

    def look(self) -> list[str]:
        with Library(library_path()) as library:
            return sentences(take_up(library))

    def brews(self, search: Search, most: int | None = None) -> list[Brew]:
        with Library(library_path()) as library:
            return find_brews(library, search, most=most)

    def open(self, number: int) -> OpenedBrew:
        with Library(library_path()) as library:
            return open_brew(library, number)

    def judge(self, progress: Progress, stopped: Callable[[], bool]) -> list[str]:
        with Library(library_path()) as library:
            return judge_beside(library, self.rubric, progress, stopped)

    def delete(self, brews: Sequence[Brew]) -> None:
        with Library(library_path()) as library:
            put_in_bin(library, brews)

    def restore(self, brews: Sequence[Brew]) -> None:
        with Library(library_path()) as library:
            # As they are in the bin: their recordings have moved.
            numbers = {brew.number for brew in brews}
            binned = find_brews(library, Search(binned=True))
            restore(library, [brew for brew in binned if brew.number in numbers])

    def say(self, number: int, words: Sequence[Afterword]) -> str | None:
        with Library(library_path()) as library:
            return say(library, number, words)
