"""``pourcoach demo``: a whole coached brew with no scale attached."""

import argparse

from pourcoach.cli.options.plan_options import add_plan_options, plan_from
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.seed_option import add_seed_option
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.cli.options.sound_option import add_sound_options, sound_from
from pourcoach.cli.show import add_show_options, is_plain, show
from pourcoach.session.demo import demo_brew
from pourcoach.session.one_brew import OneBrew
from pourcoach.session.rubric_in_use import planned_under

EXAMPLE = "pourcoach demo --fast"

# A brew of a good three minutes in about a minute and a half on the screen; the faster ones
# still give each cue long enough to be read.
SCREEN_SPEED = 2.2
FAST_SPEED = 8.0
PLAIN_SPEED = 40.0


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--fast", action="store_true", help="quicker still")
    add_seed_option(parser)
    add_plan_options(parser)
    add_sound_options(parser)
    add_show_options(parser)
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    settings = settings_from(args)
    rubric = rubric_from(args)
    plan = planned_under(plan_from(args, settings.plan), rubric)
    speed = PLAIN_SPEED if is_plain(args) else FAST_SPEED if args.fast else SCREEN_SPEED
    brew = demo_brew(plan, seed=args.seed, speed=speed)
    board = OneBrew("demo")
    board.show(brew)
    with sound_from(args, settings, board) as sound:
        show(brew, args, settings, rubric, sound=sound)
    return 0
