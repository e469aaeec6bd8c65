"""``pourcoach plan``: works out a pour plan and prints it."""

import argparse

from pourcoach.brewing.plan.plan_file import plan_to_toml
from pourcoach.cli.console.terminal import takes_blocks
from pourcoach.cli.options.out_option import add_out_option
from pourcoach.cli.options.plan_options import add_plan_options, worked_plan_from
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.domain.printable import json_text
from pourcoach.reports.trade.plan_page import plan_figures, plan_lines
from pourcoach.text_file import write_text

EXAMPLE = "pourcoach plan --dose 20 --ratio 16 --roast light --days-off-roast 9 --out morning.toml"


def configure(parser: argparse.ArgumentParser) -> None:
    add_plan_options(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--why", action="store_true", help="say why the plan is as it is")
    add_out_option(parser, "write the plan there, as a plan file (TOML)", former=("--save",))
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    worked = worked_plan_from(args, settings_from(args).plan)
    if args.out is not None:
        write_text(args.out, plan_to_toml(worked.plan), over=args.force)
    if args.json:
        print(json_text(plan_figures(worked)))
    else:
        print("\n".join(plan_lines(worked, why=args.why, ascii_only=not takes_blocks())))
    return 0
