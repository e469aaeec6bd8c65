"""``pourcoach class``: many stations at once."""

import argparse
import asyncio
import shutil
import sys
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from textwrap import wrap

from pourcoach import wall_clock
from pourcoach.cli.console.stop_signals import on_stop_signals
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.page_option import add_page_option, page_from
from pourcoach.cli.options.plan_options import add_plan_options, plan_from
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.cli.options.share_option import add_name_option
from pourcoach.cli.sessions.shelf import open_shelf
from pourcoach.cli.show import add_show_options, is_plain, screen_from
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement
from pourcoach.practice.assignment import Mode
from pourcoach.reports.columns import in_columns
from pourcoach.session.classroom.class_list import HEADINGS, NUMBERS, class_list, member_row
from pourcoach.session.classroom.classroom import Classroom
from pourcoach.session.classroom.lesson import USUAL_LESSON, Lesson, read_lesson
from pourcoach.session.classroom.roster import StationRequest, seated
from pourcoach.session.classroom.station import Station
from pourcoach.session.classroom.summary import class_lines, closing_lines, opening_lines
from pourcoach.session.kept.landing import has_landed, land
from pourcoach.session.rubric_in_use import planned_under
from pourcoach.session.settings import Settings
from pourcoach.sharing.room import Room
from pourcoach.sharing.seen import Board, CurveBoard, SeenStation, TileAge
from pourcoach.text_file import content_of, read_text

# A word changes seldom; ten times a second is as fast as tiles come.
LOOK_EVERY_S = 0.1
LIST_INDENT = len("  [ ] ")
WORDS = {TileAge.OLD: "OLD", TileAge.GONE: "GONE"}
EXAMPLE = "pourcoach class --station 1=sim:steady 2=sim:hasty?seed=3"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--station",
        nargs="+",
        action="extend",
        default=[],
        metavar="NAME=ADDRESS",
        help="a station and its scale, as 1=serial:/dev/ttyUSB0; give as many as there are",
    )
    parser.add_argument(
        "--listen",
        metavar="ADDRESS",
        help="show the stations that share into a room on an MQTT broker, as mqtts://HOST/ROOM, "
        "and keep their recordings",
    )
    parser.add_argument(
        "--lesson",
        type=Path,
        metavar="FILE",
        help="stations, people, plan and lists from a file (TOML)",
    )
    parser.add_argument(
        "--show-lesson", action="store_true", help="print a usual lesson, to be changed, and end"
    )
    parser.add_argument(
        "--people",
        action="store_true",
        help="print the class list of a lesson, in its groups: what each has brewed and practised, "
        "and how the last brew was marked; and end",
    )
    parser.add_argument(
        "--arrangement",
        choices=[arrangement.value for arrangement in Arrangement],
        default=Arrangement.BREWER_ON_SCALE.value,
        help="what stands on the scales (default %(default)s)",
    )
    add_page_option(parser)
    add_name_option(parser)
    add_plan_options(parser)
    add_show_options(parser)
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    if args.show_lesson:
        print(USUAL_LESSON, end="")
        return 0
    settings = settings_from(args)
    rubric = rubric_from(args)
    if args.listen is not None:
        if args.station or args.lesson:
            raise UsageError(
                "--listen shows other machines' stations", "leave --station and --lesson out"
            )
        return _listen(Room.parse(args.listen), args, settings, rubric)
    lesson = None if args.lesson is None else _lesson(args.lesson)
    if args.people:
        if lesson is None:
            raise UsageError("--people lists the people of a lesson", "give --lesson FILE")
        return _people(lesson, rubric)
    plan_defaults = {**settings.plan, **(lesson.plan if lesson else {})}
    plan = planned_under(plan_from(args, plan_defaults), rubric)
    if is_plain(args) and lesson is not None and any(place.drill for place in lesson.places):
        raise UsageError(
            "a drill at a station asks for an estimate, which is typed on the wall",
            "leave --plain out, or the station's drill",
        )
    places = [*(lesson.places if lesson else ()), *map(StationRequest.parse, args.station)]
    lines = WordLines()
    stations = seated(
        places,
        plan,
        # A class has many brewers; the settings' own name is none of them.
        replace(settings, by=None),
        drills=lesson.drills if lesson else (),
        mode=lesson.mode if lesson else Mode.TRAIN,
        arrangement=Arrangement(args.arrangement),
        on_frame=lines.hear if is_plain(args) else None,
        on_over=_say_trouble if is_plain(args) else None,
    )
    room = Classroom(stations)
    if lesson is not None:
        _print_wrapped(opening_lines(lesson))
    with page_from(args, room, names=args.share_name, waits=lesson is None):
        if lesson is not None and not is_plain(args):
            _wait_until_seen_to()
        if is_plain(args):
            asyncio.run(_run_plain(room))
        else:
            _wall(room, room, args, settings, rubric)
    if not is_plain(args):
        for station in stations:
            _say_trouble(station)
    print("\n".join(class_lines(stations, rubric)))
    if lesson is not None:
        _print_wrapped(["", *closing_lines(lesson, stations)])
    return 1 if any(station.trouble for station in stations) else 0


def _people(lesson: Lesson, rubric: Rubric) -> int:
    with open_shelf(rubric) as library:
        members = class_list(lesson.places, library, wall_clock.now())
    if not members:
        print("Nobody is named in the lesson: a station has a person.")
        return 0
    table = in_columns([HEADINGS, *map(member_row, members)], right=NUMBERS)
    print("\n".join(line.rstrip() for line in table))
    print("\n'pourcoach report --by NAME --out FILE.html' writes the page of one of them.")
    return 0


def _print_wrapped(lines: list[str]) -> None:
    """At words, on a terminal: these are read aloud, and ticked off."""
    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else None
    for line in lines:
        # A command is copied as one line.
        if width is None or line.startswith("  pourcoach "):
            print(line)
            continue
        indent = " " * (LIST_INDENT if line.startswith("  ") else 0)
        print("\n".join(wrap(line, width, subsequent_indent=indent)))
    sys.stdout.flush()


def _lesson(path: Path) -> Lesson:
    with content_of(path):
        return read_lesson(read_text(path, "the lesson"))


def _wait_until_seen_to() -> None:
    """The opening list, and a page's address, for as long as a trainer needs."""
    print("\nPress Enter once all is seen to.", flush=True)
    with suppress(EOFError):
        input()


def _listen(room: Room, args: argparse.Namespace, settings: Settings, rubric: Rubric) -> int:
    # The broker's client: a tenth of a second to import.
    from pourcoach.sharing.listener import Listener

    with (
        Listener(room, land, has_landed) as listener,
        page_from(args, listener, names=args.share_name),
    ):
        if is_plain(args):
            with suppress(KeyboardInterrupt):
                asyncio.run(_follow(listener))
        else:
            _wall(listener, None, args, settings, rubric)
    return 0


async def _follow(board: Board) -> None:
    """Say each change of word, until asked to stop."""
    stopped = asyncio.Event()
    on_stop_signals(stopped.set)
    lines = WordLines()
    noticed: str | None = None
    while not stopped.is_set():
        for seen in board.seen():
            lines.look(seen)
        if board.notice != noticed:
            noticed = board.notice
            if noticed is not None:
                say_error(noticed)
        with suppress(TimeoutError):
            async with asyncio.timeout(LOOK_EVERY_S):
                await stopped.wait()


def _wall(
    board: CurveBoard,
    asked: Classroom | None,
    args: argparse.Namespace,
    settings: Settings,
    rubric: Rubric,
) -> None:
    from pourcoach.tui.wall_flow import run_wall

    run_wall(
        board,
        asked,
        rubric,
        **screen_from(args, settings),
    )


class WordLines:
    """One line a change of word: station, time, weight, word."""

    def __init__(self) -> None:
        self._words: dict[str, str] = {}

    def hear(self, station: Station, frame: Frame) -> None:
        """Take the next Frame of a station; says nothing unless its word is another."""
        self._say(station.name, frame.cue.word.value, frame.pour.brew_s or 0.0, frame.weight_g)

    def look(self, seen: SeenStation) -> None:
        """Take a station of a room as it is seen now. OLD and GONE are words too."""
        word, tile = WORDS.get(seen.standing), seen.tile
        if word is None and tile is not None:
            word = tile.word.value
        if word is not None:
            brew_s = None if tile is None else tile.time_s
            self._say(seen.name, word, brew_s or 0.0, None if tile is None else tile.weight_g)

    def _say(self, name: str, word: str, brew_s: float, weight_g: float | None) -> None:
        if self._words.get(name) == word:
            return
        self._words[name] = word
        grams = "--" if weight_g is None else f"{weight_g:.0f}"
        # Who reads along may leave; who pours goes on, and the brews are kept.
        with suppress(OSError):
            print(f"{name}  {clock(brew_s)} {grams:>4} g  {word}", flush=True)


async def _run_plain(room: Classroom) -> None:
    """One brew at each station, to the last one's end."""

    def stop() -> None:
        for station in room.stations:
            station.stop()

    on_stop_signals(stop)
    room.start()
    try:
        await room.over()
    finally:
        await room.close()


def _say_trouble(station: Station) -> None:
    if station.trouble is not None:
        say_error(f"station {station.name}: {station.trouble}")
