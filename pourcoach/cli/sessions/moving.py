"""Actions on many brews: import, export, erase, rebuild."""

import argparse
import time
from contextlib import suppress
from pathlib import Path

from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.rubric_option import rubric_from
from pourcoach.cli.options.whole_number import whole_number
from pourcoach.cli.sessions.action import Action
from pourcoach.cli.sessions.changing import confirm
from pourcoach.cli.sessions.shelf import GO_ON, ProgressLine, open_shelf, path_text
from pourcoach.domain.printable import printable
from pourcoach.library.brews import brew_numbered
from pourcoach.library.erasing import erase_person
from pourcoach.library.exporting import brews_of, export_person
from pourcoach.library.importing import import_tapes
from pourcoach.library.library import library_path
from pourcoach.library.people import known_person
from pourcoach.places import config_folder
from pourcoach.session.judging.many import judge_brews
from pourcoach.session.judging.up_to_date import rebuild
from pourcoach.session.settings import forget_name
from pourcoach.wording.figures import how_many

MOST_CORES = 1024


def _configure_import(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "paths", nargs="+", type=Path, metavar="PATH", help="recordings, or folders of them"
    )
    parser.add_argument("--by", metavar="NAME", help="who brewed what is new")


def _import(args: argparse.Namespace) -> int:
    by = None if args.by is None else printable(args.by.strip()) or None
    rubric = rubric_from(args)
    with open_shelf() as library:
        done = import_tapes(library, args.paths, by)
        new = [brew for number in done.new if (brew := brew_numbered(library, number)) is not None]
        waiting = [brew for brew in new if brew.judged_by is None]
        with suppress(KeyboardInterrupt):  # The next list of brews judges the rest.
            for brew, why in judge_brews(library, waiting, rubric, ProgressLine("judging", GO_ON)):
                say_error(f"{brew.tape.name} could not be judged: {why}")
    for path, why in done.refused:
        named = str(path) in why
        say_error(why if named else f"{path}: {why}")
    print(f"imported {len(done.new)}, already there {len(done.known)}, refused {len(done.refused)}")
    return 1 if done.refused else 0


def _configure_export(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--by", required=True, metavar="NAME", help="whose")
    parser.add_argument(
        "--out", required=True, type=Path, metavar="FOLDER", help="a new folder to write it in"
    )


def _export(args: argparse.Namespace) -> int:
    with open_shelf(rubric_from(args)) as library:
        count, lost = export_person(library, args.by, args.out)
    print(f"wrote {how_many(count, 'brew')} to {path_text(args.out)}")
    for brew in lost:
        say_error(f"the recording of {brew.id} is gone: {brew.tape}")
    return 0


def _configure_erase(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--by", required=True, metavar="NAME", help="whom")
    parser.add_argument("--yes", action="store_true", help="do not ask")


def _erase(args: argparse.Namespace) -> int:
    with open_shelf() as library:
        name = known_person(library, args.by).name
        count = len(brews_of(library, name))
        confirm(
            args,
            f"This takes {name} off {how_many(count, 'brew')}, their recordings and all notes."
            " The brews stay, without a name. It cannot be undone;"
            f" 'pourcoach sessions export --by {name}' keeps a copy.",
        )
        erased = erase_person(library, name)
    forget_name(config_folder() / "config.toml", name)
    print(f"erased from {how_many(erased.brews, 'brew')}, {how_many(erased.tapes, 'recording')}")
    print("What you exported or handed out before is not touched.")
    for tape in erased.lost:
        say_error(f"{tape} is gone; if it comes back, it holds the name: erase it again after that")
    return 0


def _configure_rebuild(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--cores",
        type=whole_number(1, MOST_CORES),
        metavar="N",
        help="how many to use (default: all of them)",
    )


def _rebuild(args: argparse.Namespace) -> int:
    began_s = time.monotonic()
    done = rebuild(
        library_path(), rubric_from(args), say_error, ProgressLine("judging"), cores=args.cores
    )
    took_s = time.monotonic() - began_s
    if done.set_aside is not None:
        say_error(f"the broken library is kept as {done.set_aside}")
    for brew, why in done.failed:
        say_error(f"{brew.tape.name} could not be judged: {why}")
    if done.missing:
        say_error(f"{done.missing} recordings are gone; what was known of their brews is kept")
    print(f"{how_many(done.brews, 'brew')}, {done.judged} judged in {took_s:.1f} s")
    return 1 if done.failed else 0


ACTIONS = (
    Action(
        "import",
        "takes recordings from elsewhere into the library, each once",
        "lesson-3 --by Ada",
        _configure_import,
        _import,
        judges=True,
    ),
    Action(
        "export",
        "writes all that is kept of a person into a folder",
        "--by Ada --out ada",
        _configure_export,
        _export,
        judges=True,
    ),
    Action(
        "erase",
        "takes a person's name out of the library and off all recordings",
        "--by Ada",
        _configure_erase,
        _erase,
    ),
    Action(
        "rebuild",
        "makes the library anew from the recordings, and judges all of them",
        "",
        _configure_rebuild,
        _rebuild,
        judges=True,
    ),
)
