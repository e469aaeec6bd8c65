"""``pourcoach practise``: drills, tests and progress of one student."""

import argparse
from collections.abc import Sequence
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.number_option import number
from pourcoach.cli.options.page_option import add_page_option
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.cli.options.share_option import add_share_options
from pourcoach.cli.options.sound_option import add_sound_options
from pourcoach.cli.options.whole_number import whole_number
from pourcoach.cli.show import add_show_options, is_plain, screen_from
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import json_text
from pourcoach.places import tapes_folder
from pourcoach.practice.assignment import LARGEST_SEED, Mode
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import Part
from pourcoach.recordings.shipped import find_recording
from pourcoach.reports.practice_figures import (
    progress_figures,
    progress_lines,
    unpractised_figures,
)
from pourcoach.session.practice.drills import drills
from pourcoach.wording.practice import judged_sentences
from pourcoach.wording.progress import next_sentence

EXAMPLE = "pourcoach practise landing --scale serial:/dev/ttyUSB0 --by Ada"
SPOT, JUDGE = "spot", "judge"
SPOT_TRIALS = 10
MOST_POURS = 10_000
"""Of a sitting: more than anybody makes."""
# A minute of brewing in half of one: faults are recognised by their shape, which stays.
SPOT_SPEED = 2.0
FASTEST = 100.0
_PARTS = (Part.BLOCK.value, Part.TEST.value)


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "drill",
        nargs="?",
        metavar="DRILL",
        help="a drill's name, or its file; 'spot' to watch recordings for faults, 'judge' to mark "
        "brews by eye before their figures are shown",
    )
    parser.add_argument(
        "recordings",
        nargs="*",
        metavar="RECORDING",
        help="with 'spot': brews to be watched (default: simulated ones); with 'judge': brews to "
        "be marked",
    )
    what = parser.add_argument_group("instead of a drill")
    what.add_argument("--list", action="store_true", help="list the drills")
    what.add_argument(
        "--progress", action="store_true", help="what was learnt, from tests alone (with --by)"
    )
    parser.add_argument("--json", action="store_true", help="print figures, one object a line")
    parser.add_argument(
        "--scale",
        metavar="ADDRESS",
        help="serial:PORT, ble:NAME, sim:PROFILE, kettle:, or the name you gave to one (default: "
        "the settings')",
    )
    parser.add_argument(
        "--mode",
        choices=[mode.value for mode in Mode],
        default=Mode.TRAIN.value,
        help="train: help fades, and tests have none; assist: all help, and no figure of skill "
        "(default %(default)s)",
    )
    parser.add_argument("--by", metavar="NAME", help="who practises (default: the settings')")
    parser.add_argument(
        "--seed",
        type=whole_number(0, LARGEST_SEED),
        metavar="N",
        help="of the schedule (default: by name)",
    )
    parser.add_argument(
        "--level",
        choices=[level.value for level in Level],
        help="how wide the bands are, and whether there is a first block with live help (default: "
        "beginner until a test was made, then practised)",
    )
    parser.add_argument(
        "--part", choices=_PARTS, help="practise although a test is due, or only be tested"
    )
    parser.add_argument(
        "--schedule",
        metavar="FILE",
        help="a trainer's schedule (TOML), or 'none': a result after every pour, no tests",
    )
    parser.add_argument(
        "--pours",
        type=whole_number(1, MOST_POURS),
        metavar="N",
        help="end the sitting after so many pours or recordings",
    )
    parser.add_argument(
        "--speed", type=number, metavar="X", help="of the recordings to be watched (default 2)"
    )
    add_share_options(parser)
    add_page_option(parser)
    add_sound_options(parser)
    add_show_options(parser)
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    if args.list:
        return _list(as_json=args.json)
    if args.progress:
        return _progress(args)
    if args.drill is None:
        raise UsageError("no drill is named", "see 'pourcoach practise --list'")
    if args.drill == SPOT:
        return _spot(args)
    if args.drill == JUDGE:
        from pourcoach.cli.judge_by_eye import judge_by_eye

        rubric = rubric_from(args)
        return judge_by_eye(
            _found(args.recordings), args.by or settings_from(args).by, rubric, wall_clock.now
        )
    if args.recordings:
        raise UsageError("only 'spot' and 'judge' take recordings", "leave them out")
    from pourcoach.cli.practise_drill import practise_drill

    return practise_drill(args)


def _progress(args: argparse.Namespace) -> int:
    from pourcoach.session.practice.progress import practice_progress

    by = args.by or settings_from(args).by
    found = practice_progress(by, wall_clock.now())
    if args.json:
        practised = {drill.drill for drill in found.drills}
        for drill in found.drills:
            print(json_text(progress_figures(drill)))
        for other in drills()[0]:
            if other.name not in practised:
                print(json_text(unpractised_figures(other.name, other.judged[0].measure)))
        return 0
    print(f"Practice of {by}" if by else "Practice of nobody by name")
    for line in progress_lines(found.drills):
        print(line)
    print(next_sentence(found.next_drill))
    return 0


def _spot(args: argparse.Namespace) -> int:
    from pourcoach.session.practice.spotting import SpotCourse

    speed = SPOT_SPEED if args.speed is None else args.speed
    if not 0.1 <= speed <= FASTEST:
        raise UsageError(f"--speed is {speed:g}", f"use 0.1 to {FASTEST:g}")
    settings = settings_from(args)
    simulated = not args.recordings
    course = SpotCourse(
        by=args.by or settings.by,
        seed=args.seed or 0,
        trials=args.pours or SPOT_TRIALS,
        speed=speed,
        recordings=_found(args.recordings[: args.pours]),
    )
    if is_plain(args):
        from pourcoach.cli.console.plain_spotting import run_plain_spotting

        run_plain_spotting(course, wall_clock.now, simulated=simulated)
        return 0
    from pourcoach.tui.spot_flow import run_spotting

    run_spotting(
        course,
        rubric_from(args),
        wall_clock.now,
        simulated=simulated,
        **screen_from(args, settings),
    )
    return 0


def _found(names: Sequence[str]) -> list[Path]:
    """Recordings by file, or by their names. Raises WorkError where there is none."""
    return [find_recording(name, [tapes_folder()]) for name in names]


def _list(*, as_json: bool) -> int:
    found, troubles = drills()
    for drill in found:
        if as_json:
            figures = {
                "name": drill.name,
                "title": drill.title,
                "task": drill.task_at(1.0),
                "needs": drill.needs,
                "judged": judged_sentences(drill),
            }
            print(json_text(figures))
            continue
        print(f"{drill.name}\n    {drill.task_at(1.0)}")
        print(f"    Judged: {'; '.join(judged_sentences(drill))}.")
        print(f"    Needed: {drill.needs}.")
    for trouble in troubles:
        say_error(trouble)
    return 1 if troubles else 0
