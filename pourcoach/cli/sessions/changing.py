"""Actions on single brews: rename, tag, note, delete, restore, empty."""

import argparse
import sys
from collections.abc import Sequence

from pourcoach import wall_clock
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import USUAL_STRENGTH_ERROR_PCT, refuse_strength
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.number_option import number
from pourcoach.cli.sessions.action import Action
from pourcoach.cli.sessions.shelf import add_brews, named, open_shelf
from pourcoach.coaching.flags.risk import BedLook
from pourcoach.domain.afterwards import (
    CUP_QUALITIES,
    USUAL_SCALE,
    Afterword,
    CupNote,
    Fact,
    FactKind,
    Remark,
    RemarkKind,
    StrengthReading,
    Tag,
    check_cup_note,
    read_scale,
)
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import LONGEST_REMARK, printable
from pourcoach.library.bin import empty_bin, put_in_bin, restore
from pourcoach.library.brews import brew_called, find_brews
from pourcoach.library.library import Library
from pourcoach.library.records import Brew, Search
from pourcoach.library.renaming import rename_person
from pourcoach.library.saying import say
from pourcoach.wording.figures import how_many

BEDS = {look.value.replace(" ", "-"): look.value for look in BedLook}


def _say(library: Library, brew: Brew, words: Sequence[Afterword]) -> None:
    later = say(library, brew.number, words)
    if later is not None:
        say_error(later)


def _configure_rename(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("brew", metavar="BREW", help="a brew, or with --person who it is")
    parser.add_argument("name", metavar="NAME", help="what to call it from now on; '' for nothing")
    parser.add_argument(
        "--person", action="store_true", help="rename a person, on all of their brews"
    )


def _rename(args: argparse.Namespace) -> int:
    name = printable(args.name.strip())
    with open_shelf() as library:
        if args.person:
            if not name:
                raise UsageError("a person needs a name", "'sessions erase' takes a person out")
            count = rename_person(library, args.brew, name)
            print(f"{name} it is, on {how_many(count, 'brew')}.")
        else:
            brew = brew_called(library, args.brew)
            _say(library, brew, [Fact(FactKind.TITLE, name, wall_clock.timestamp())])
    return 0


def _configure_tag(parser: argparse.ArgumentParser) -> None:
    add_brews(parser, several=True)
    parser.add_argument("--add", action="append", default=[], metavar="TAG", help="put it on")
    parser.add_argument("--remove", action="append", default=[], metavar="TAG", help="take it off")


def _tag(args: argparse.Namespace) -> int:
    at = wall_clock.timestamp()
    tags = [Tag(printable(tag.strip()), at) for tag in args.add]
    tags += [Tag(printable(tag.strip()), at, on=False) for tag in args.remove]
    if not tags or not all(tag.name for tag in tags):
        raise UsageError("no tag is named", "give --add TAG or --remove TAG")
    with open_shelf() as library:
        for brew in named(library, args.brews):
            _say(library, brew, tags)
    return 0


def _configure_note(parser: argparse.ArgumentParser) -> None:
    add_brews(parser, several=False)
    add = parser.add_argument
    add("text", nargs="?", metavar="TEXT", help="free words on the cup")
    for quality in CUP_QUALITIES:
        add(f"--{quality}", type=number, metavar="SCORE", help="a score on your own scale")
    add(
        "--scale",
        default=USUAL_SCALE,
        metavar="LOW-HIGH",
        help="the ends of your scale (default %(default)s)",
    )
    add("--taste", metavar="WORDS", help="sour, bitter …: what 'pourcoach advise' goes by")
    add("--strength", type=number, metavar="PERCENT", help="dissolved solids in the cup")
    add(
        "--strength-error",
        type=number,
        default=USUAL_STRENGTH_ERROR_PCT,
        metavar="PERCENT",
        help="one standard error of it (default %(default)s)",
    )
    add("--beverage", type=number, metavar="G", help="mass of the beverage, with --strength")
    add("--bed", choices=list(BEDS), help="what the bed looked like when drained")
    for kind in ("coffee", "water", "by"):
        text = {"coffee": "which coffee it was", "water": "which saved water", "by": "who brewed"}
        add(f"--{kind}", metavar="NAME", help=text[kind])


def _note(args: argparse.Namespace) -> int:
    words = _words(args)
    if not words:
        raise UsageError("there is nothing to note", "give a text, scores, --strength or --bed")
    with open_shelf() as library:
        _say(library, brew_called(library, args.brew), words)
    return 0


def _words(args: argparse.Namespace) -> list[Afterword]:
    at = wall_clock.timestamp()
    words: list[Afterword] = []
    text = printable((args.text or "").strip(), LONGEST_REMARK)
    scores = {quality: getattr(args, quality) for quality in CUP_QUALITIES}
    if any(score is not None for score in scores.values()):
        words.append(check_cup_note(CupNote(at, *read_scale(args.scale), **scores, text=text)))
    elif text:
        words.append(Remark(RemarkKind.NOTE, text, at))
    if args.taste:
        words.append(Remark(RemarkKind.TASTE, printable(args.taste, LONGEST_REMARK), at))
    if args.strength is not None:
        words.append(_strength(args, at))
    elif args.beverage is not None:
        raise UsageError("--beverage alone says no strength", "give --strength PERCENT too")
    if args.bed is not None:
        words.append(Remark(RemarkKind.BED, BEDS[args.bed], at))
    for kind in (FactKind.COFFEE, FactKind.WATER, FactKind.BY):
        name = getattr(args, kind.value)
        if name is not None:
            words.append(Fact(kind, printable(name.strip()), at))
    return words


def _strength(args: argparse.Namespace, at: str) -> StrengthReading:
    refuse_strength(Measured(args.strength, args.strength_error))
    if args.beverage is not None and not 0.0 < args.beverage <= 10_000.0:
        raise UsageError(f"{args.beverage:g} g is no mass of a beverage", "give grams")
    return StrengthReading(
        round(args.strength / 100.0, 8), round(args.strength_error / 100.0, 8), args.beverage, at
    )


def _configure_brews(parser: argparse.ArgumentParser) -> None:
    add_brews(parser, several=True)


def _delete(args: argparse.Namespace) -> int:
    with open_shelf() as library:
        brews = named(library, args.brews)
        put_in_bin(library, brews)
    outside = [brew for brew in brews if brew.tape.is_file()]
    print(
        f"{how_many(len(brews), 'brew')} in the bin; 'pourcoach sessions restore' takes them back."
    )
    for brew in outside:
        print(f"The recording stays where it is, outside of the library's folder: {brew.tape}")
    return 0


def _restore(args: argparse.Namespace) -> int:
    with open_shelf() as library:
        restore(library, named(library, args.brews))
    return 0


def _configure_empty(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--yes", action="store_true", help="do not ask")


def _empty(args: argparse.Namespace) -> int:
    with open_shelf() as library:
        count = len(find_brews(library, Search(binned=True)))
        if count:
            confirm(args, f"This deletes {how_many(count, 'brew')} and their recordings for good.")
        empty_bin(library)
    print(f"{how_many(count, 'brew')} deleted for good.")
    return 0


def confirm(args: argparse.Namespace, what: str) -> None:
    """Ask at the terminal, unless --yes was given. Raises UsageError where nobody says yes."""
    if args.yes:
        return
    if not sys.stdin.isatty():
        raise UsageError("nobody is there to confirm it", "give --yes")
    print(f"{what} Type yes to go on: ", end="", flush=True)
    if sys.stdin.readline().strip().lower() not in ("y", "yes"):
        raise UsageError("nothing was done", "answer yes to do it")


ACTIONS = (
    Action(
        "rename",
        "gives a brew a title, or with --person a person another name",
        "3f9a2c41 'first even one'",
        _configure_rename,
        _rename,
    ),
    Action(
        "tag",
        "puts tags on brews, or takes them off",
        "3f9a2c41 --add exam",
        _configure_tag,
        _tag,
    ),
    Action(
        "note",
        "keeps how a cup tasted, its strength and what the bed looked like",
        "3f9a2c41 'ripe plum' --acidity 7 --body 5 --strength 1.32 --bed flat",
        _configure_note,
        _note,
    ),
    Action("delete", "puts brews in the bin", "3f9a2c41", _configure_brews, _delete),
    Action("restore", "takes brews out of the bin", "3f9a2c41", _configure_brews, _restore),
    Action("empty", "deletes for good what is in the bin", "", _configure_empty, _empty),
)
