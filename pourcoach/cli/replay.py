"""``pourcoach replay``: plays a recording in the brew screen."""

import argparse

from pourcoach.cli.options.number_option import number
from pourcoach.cli.options.page_option import add_page_option, page_from
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.cli.options.sound_option import add_sound_options, sound_from
from pourcoach.cli.show import add_show_options, is_plain, show
from pourcoach.domain.errors import UsageError
from pourcoach.recordings.tape import read_tape
from pourcoach.session.kept.tape import recording_called
from pourcoach.session.one_brew import OneBrew
from pourcoach.session.replay.replay import ReplaySession
from pourcoach.session.rubric_in_use import judged_by

EXAMPLE = "pourcoach replay stall --speed 2"

# Text alone has nothing to watch: it is given as fast as it can be read out, a gap of days in no
# time.
PLAIN_SPEED = 1e9


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "recording",
        metavar="RECORDING",
        help="a recording, or the name of one that is kept or comes with the program",
    )
    parser.add_argument(
        "--speed",
        type=number,
        metavar="X",
        help="times as fast as it was brewed (default 1; text comes at once)",
    )
    add_page_option(parser)
    add_sound_options(parser)
    add_show_options(parser)
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    if args.speed is not None and not 0 < args.speed < float("inf"):
        raise UsageError(f"the speed is {args.speed:g}", "make it a number above 0")
    settings = settings_from(args)
    rubric = rubric_from(args)
    path = recording_called(args.recording)
    tape = judged_by(read_tape(path), rubric)
    speed = args.speed or (PLAIN_SPEED if is_plain(args) and args.page is None else 1.0)
    replay = ReplaySession(tape, speed)
    board = OneBrew(path.name)
    board.show(replay)
    with page_from(args, board), sound_from(args, settings, board) as sound:
        show(replay, args, settings, rubric, tape=path, sound=sound)
    return 0 if tape.problem is None else 1
