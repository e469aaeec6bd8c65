"""``pourcoach class``: many stations at once."""

import argparse
import asyncio
import signal
from contextlib import suppress
from dataclasses import replace

from pourcoach.cli.plan_options import add_plan_options, plan_from
from pourcoach.cli.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.settings_option import add_settings_option, settings_from
from pourcoach.cli.show import add_show_options, is_plain
from pourcoach.cli.terminal import say_error
from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement
from pourcoach.session.classroom.classroom import Classroom
from pourcoach.session.classroom.roster import Place, seated
from pourcoach.session.classroom.station import Station
from pourcoach.session.rubric_in_use import planned_under
from pourcoach.wording import clock

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
        "--arrangement",
        choices=[arrangement.value for arrangement in Arrangement],
        default=Arrangement.BREWER_ON_SCALE.value,
        help="what stands on the scales (default %(default)s)",
    )
    add_plan_options(parser)
    add_show_options(parser)
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    settings = settings_from(args)
    rubric = rubric_from(args)
    plan = planned_under(plan_from(args, settings.plan), rubric)
    places = [Place.parse(text) for text in args.station]
    lines = WordLines()
    stations = seated(
        places,
        plan,
        # A class has many brewers; the settings' own name is none of them.
        replace(settings, by=None),
        arrangement=Arrangement(args.arrangement),
        on_frame=lines.hear if is_plain(args) else None,
        on_over=_say_trouble if is_plain(args) else None,
    )
    room = Classroom(stations)
    if is_plain(args):
        asyncio.run(_run_plain(room))
    else:
        from pourcoach.tui.wall_story import run_wall

        run_wall(
            room,
            room,
            rubric,
            glyphs=args.glyphs or settings.glyphs,
            theme=args.theme or settings.theme,
            mouse=not args.no_mouse,
        )
        for station in stations:
            _say_trouble(station)
    for station in stations:
        for recording in station.recordings:
            print(f"The recording of {station.name} is {recording}")
    return 1 if any(station.trouble for station in stations) else 0


class WordLines:
    """One line a change of word: station, time, weight, word."""

    def __init__(self) -> None:
        self._words: dict[str, Word] = {}

    def hear(self, station: Station, frame: Frame) -> None:
        """Take the next Frame of a station; says nothing unless its word is another."""
        word = frame.cue.word
        if self._words.get(station.name) is word:
            return
        self._words[station.name] = word
        brew_s = frame.pour.brew_s or 0.0
        grams = f"{frame.weight_g:.0f} g"
        # Who reads along may leave; who pours goes on, and the brews are kept.
        with suppress(OSError):
            print(f"{station.name}  {clock(brew_s)} {grams:>6}  {word.value}", flush=True)


async def _run_plain(room: Classroom) -> None:
    """One brew at each station, to the last one's end."""
    loop = asyncio.get_running_loop()

    def stop() -> None:
        for station in room.stations:
            station.stop()

    with suppress(NotImplementedError, AttributeError):
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(number, stop)
    room.start()
    try:
        await room.over()
    finally:
        await room.close()


def _say_trouble(station: Station) -> None:
    if station.trouble is not None:
        say_error(f"station {station.name}: {station.trouble}")
