"""A sitting of one drill: on screens or as lines of text, with what goes on beside it."""

import argparse
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.page_option import page_from
from pourcoach.cli.options.rubric_option import rubric_from
from pourcoach.cli.options.settings_option import settings_from
from pourcoach.cli.options.share_option import shared_from
from pourcoach.cli.options.sound_option import sound_from
from pourcoach.cli.show import is_plain, screen_from
from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.practice.assignment import Mode
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import NONE, Part, Schedule
from pourcoach.session.beside import Shared, another_run
from pourcoach.session.practice.board import PracticeBoard
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.practice.drills import find_drill
from pourcoach.session.protocols import SoundControls
from pourcoach.session.settings import Settings
from pourcoach.text_file import content_of, read_text


def practise_drill(args: argparse.Namespace) -> int:
    """As ``practise`` was asked; the exit status."""
    settings = settings_from(args)
    drill = find_drill(args.drill)
    address = args.scale or settings.scale
    if address is None:
        raise UsageError(
            "no scale is named",
            "give --scale ADDRESS ('pourcoach scales' finds them), or try --scale sim:learning",
        )
    by = args.by or settings.by
    room, station = shared_from(args)
    run, seen_name = another_run(), by if args.share_name else None
    board = PracticeBoard(
        drill.title if room is None else station,
        lambda: course.current,
        title=None if room is None else drill.title,
        person=seen_name,
        run=run,
    )
    named = seen_name is not None
    shared = Shared(station, board, room=room, run=run, named=named, say=say_error)
    course = PracticeCourse(
        drill,
        address,
        settings,
        now=wall_clock.now,
        by=by,
        mode=Mode(args.mode),
        seed=args.seed,
        level=None if args.level is None else Level(args.level),
        part=None if args.part is None else Part(args.part),
        schedule=_schedule(args.schedule),
        pours=args.pours,
        on_kept=shared.send,
    )
    with (
        shared,
        page_from(args, board, names=args.share_name),
        sound_from(args, settings, board) as sound,
    ):
        return _run(course, args, settings, sound)


def _run(
    course: PracticeCourse,
    args: argparse.Namespace,
    settings: Settings,
    sound: SoundControls | None,
) -> int:
    if is_plain(args):
        from pourcoach.cli.console.plain_practice import run_plain_practice

        return 0 if run_plain_practice(course, wall_clock.now, sound) else 1
    from pourcoach.tui.practice_flow import run_practice

    troubles = run_practice(
        course,
        rubric_from(args),
        wall_clock.now,
        **screen_from(args, settings),
        sound=sound,
    )
    for trouble in troubles:
        say_error(trouble)
    return 1 if troubles else 0


def _schedule(name: str | None) -> Schedule | None:
    if name is None:
        return None
    if name == "none":
        return NONE
    path = Path(name)
    with content_of(path):
        text = read_text(path, "the schedule")
        return Schedule.from_table(CheckedTable.from_toml("the schedule", text))
