"""``pourcoach brew``: guides a live brew on a scale and leaves its tape."""

import argparse
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.page_option import add_page_option, page_from
from pourcoach.cli.options.plan_options import add_plan_options, plan_from
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.cli.options.share_option import add_share_options, beside_from
from pourcoach.cli.options.sound_option import add_sound_options, sound_from
from pourcoach.cli.show import add_show_options, show
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Arrangement
from pourcoach.library.library import Library, library_path
from pourcoach.library.people import learn_reaction
from pourcoach.library.water_shelf import saved_water
from pourcoach.session.live import LiveBrew, live_brew
from pourcoach.session.rubric_in_use import planned_under

EXAMPLE = "pourcoach brew --scale serial:/dev/ttyUSB0 --dose 20 --ratio 16 --by Ada"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--scale",
        metavar="ADDRESS",
        help="serial:PORT, ble:NAME, sim:PROFILE, kettle:, tape:FILE, or the name you gave to one "
        "(default: the settings')",
    )
    parser.add_argument(
        "--tape",
        type=Path,
        metavar="FILE",
        help="where to keep the recording (default: by its date, in the folder that 'pourcoach "
        "places' shows)",
    )
    parser.add_argument("--by", metavar="NAME", help="who brews (default: the settings')")
    parser.add_argument(
        "--brew-water", metavar="NAME", help="which saved water is poured (default: not noted)"
    )
    parser.add_argument(
        "--fresh-lead",
        action="store_true",
        help="forget how early STOP must come for this brewer, and learn it anew",
    )
    parser.add_argument(
        "--arrangement",
        choices=[arrangement.value for arrangement in Arrangement],
        default=Arrangement.BREWER_ON_SCALE.value,
        help="what stands on the scale (default %(default)s)",
    )
    add_plan_options(parser)
    add_share_options(parser)
    add_page_option(parser)
    add_sound_options(parser)
    add_show_options(parser)
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    settings = settings_from(args)
    rubric = rubric_from(args)
    address = args.scale or settings.scale
    if address is None:
        raise UsageError(
            "no scale is named",
            "give --scale ADDRESS ('pourcoach scales' finds them), or try --scale sim:steady",
        )
    by = args.by or settings.by
    if args.fresh_lead:
        if by is None:
            raise UsageError("--fresh-lead does not know whose lead", "give --by NAME")
        with Library(library_path()) as library:
            learn_reaction(library, by, None)
    if args.brew_water is not None:
        saved_water(args.brew_water)
    plan = planned_under(plan_from(args, settings.plan), rubric)
    beside = beside_from(args, by)
    made: list[LiveBrew] = []

    def next_brew() -> LiveBrew:
        made.append(
            live_brew(
                address,
                plan,
                settings,
                arrangement=Arrangement(args.arrangement),
                by=by,
                water=args.brew_water,
                tape=None if made else args.tape,
                began=wall_clock.now(),
                on_kept=beside.kept,
            )
        )
        beside.show(made[-1].session)
        return made[-1]

    first = next_brew()
    with (
        beside,
        page_from(args, beside.board, names=args.share_name),
        sound_from(args, settings, beside.board) as sound,
    ):
        show(
            first.session,
            args,
            settings,
            rubric,
            tape=first.tape.path,
            again=next_brew,
            sound=sound,
        )
    return _report(made)


def _report(made: list[LiveBrew]) -> int:
    """Say where the recordings are, and what went wrong with them; the exit status."""
    troubled = False
    for brew in made:
        if brew.session.newest is None:
            continue
        if brew.session.recording is not None:
            print(f"The recording is {brew.session.recording}")
        if brew.session.trouble is not None:
            say_error(brew.session.trouble)
            troubled = True
    return 1 if troubled else 0
