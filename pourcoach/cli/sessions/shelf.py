"""The library as every action of ``sessions`` opens it, and what is said about it meanwhile."""

import argparse
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pourcoach.cli.console.terminal import say_error, to_line_start
from pourcoach.cli.options.day_option import day
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.printable import printable
from pourcoach.library.brews import brew_called, judged_brews
from pourcoach.library.library import BrokenLibraryError, Library, library_path
from pourcoach.library.records import Brew, Search
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.session.judging.up_to_date import bring_up_to_date, sentences
from pourcoach.session.kept.keeping import take_up

_TENTHS = 10
GO_ON = " (Ctrl+C goes on without)"
_LONG_S = 60.0
"""From here on one wants to know."""


@contextmanager
def open_shelf(rubric: Rubric | None = None) -> Iterator[Library]:
    """The library, brought up to what the tapes hold, and all of it judged by ``rubric`` where one
    is given; what was found is said on standard error."""
    with Library(library_path()) as library:
        try:
            if rubric is None:
                for sentence in sentences(take_up(library)):
                    say_error(sentence)
            else:
                bring_up_to_date(library, rubric, say_error, ProgressLine("judging", GO_ON))
        except BrokenLibraryError:
            raise
        except WorkError as error:
            # What it holds can be read all the same.
            say_error(error)
        yield library


class ProgressLine:
    """Reports long work on standard error: all the time on a terminal, else by tenths."""

    def __init__(self, what: str, hint: str = "") -> None:
        self._what = what
        self._hint = hint
        self._width = 0
        self._tenth = 0
        self._began_s = time.monotonic()

    def __call__(self, done: int, count: int) -> None:
        if count < _TENTHS and not sys.stderr.isatty():
            return
        goes_on = done < count
        tenth = _TENTHS * done // count
        if not sys.stderr.isatty():
            if tenth == self._tenth:
                return
            goes_on = False
        self._tenth = tenth
        text = f"pourcoach: {self._what} {done} of {count}{self._left(done, count)}"
        # Whatever is longer than this and was there before is written over.
        print(text.ljust(self._width), end="" if goes_on else "\n", file=sys.stderr, flush=True)
        if goes_on:
            self._width = len(text)
            to_line_start(sys.stderr)

    def _left(self, done: int, count: int) -> str:
        """How long it still takes."""
        left_s = (time.monotonic() - self._began_s) / done * (count - done)
        return "" if left_s < _LONG_S else f", {left_s / 60.0:.0f} min left{self._hint}"


def judged_group(library: Library, search: Search) -> Iterator[tuple[Brew, GroupBrew]]:
    """The judged brews that are asked for, the newest first, as reports over many take them."""
    for brew, judgement in judged_brews(library, search):
        curve = tuple(point[:2] for point in judgement.curve)
        yield brew, GroupBrew(judgement.figures, curve)


def add_shelf_options(parser: argparse.ArgumentParser) -> None:
    """Give the parser what brews are searched by."""
    add = parser.add_argument
    add("--by", metavar="NAME", help="only brews of this person")
    add("--since", type=day, metavar="DATE", help="only brews of that day and later")
    add("--until", type=day, metavar="DATE", help="only brews of that day and earlier")
    add("--finding", metavar="KIND", help="only brews with this finding, as bloom-short")
    add("--coffee", metavar="NAME", help="only brews of this coffee")
    add("--tag", metavar="TAG", help="only brews with this tag")
    add("--text", metavar="WORDS", help="only brews with all these words in what is known of them")
    add("--bin", action="store_true", help="those deleted instead of those kept")


def search_from(args: argparse.Namespace, words: str = "") -> Search:
    """What the options ask for. Raises UsageError for a kind of finding that there is not."""
    kinds = [kind.value for kind in FlagKind]
    if args.finding is not None and args.finding not in kinds:
        raise UsageError(
            f"there is no finding {printable(args.finding)!r}", "use one of " + ", ".join(kinds)
        )
    return Search(
        by=args.by,
        coffee=args.coffee,
        tag=args.tag,
        finding=args.finding,
        since=None if args.since is None else args.since.date(),
        until=None if args.until is None else args.until.date(),
        text=f"{args.text or ''} {words}".strip(),
        binned=args.bin,
    )


def add_brews(parser: argparse.ArgumentParser, *, several: bool) -> None:
    """Give the parser which brew, or brews, it is about."""
    text = "its id or the first characters of it, its recording, or its title"
    if several:
        parser.add_argument("brews", nargs="+", metavar="BREW", help=text)
    else:
        parser.add_argument("brew", metavar="BREW", help=text)


def named(library: Library, names: list[str]) -> list[Brew]:
    """Each brew once. Raises UsageError where a name means none or several."""
    found = [brew_called(library, name) for name in names]
    return list({brew.number: brew for brew in found}.values())


def path_text(path: Path) -> str:
    """A path as it is printed."""
    return printable(str(path), 1000)
