"""``pourcoach check``: is this scale good enough to judge a pour?"""

import argparse
import asyncio
import json
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from pourcoach.cli.options.known_weight import known_weight_reader
from pourcoach.cli.options.number_option import number_within
from pourcoach.cli.options.out_option import add_former, add_out_option, refuse_taken
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.printable import json_text
from pourcoach.text_file import content_of, read_json, write_text
from pourcoach.weighing.check.abilities import abilities
from pourcoach.weighing.check.check import ScaleCheck, judge_scale
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.check.fitness import fitness, fitness_headline, good_enough
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.loads.standard_weight import WEIGHT_CLASSES
from pourcoach.weighing.loads.verification import USUAL_CAPACITY_G, USUAL_INTERVAL_G

EXAMPLE = "pourcoach check --scale serial:/dev/ttyUSB0 --class M1 --out scale-3.md"
_GRAMS = number_within(1e-4, 1e6, "grams")


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--scale", metavar="ADDRESS", help="the scale (default: the settings')")
    parser.add_argument(
        "--from",
        dest="record",
        type=Path,
        metavar="FILE",
        help="work out a check that was kept with --raw, without a scale",
    )
    parser.add_argument(
        "--raw",
        type=Path,
        metavar="FILE",
        help="write all that was measured there, as JSON for --from",
    )
    add_former(parser, "raw", ("--keep",))
    add_out_option(parser, "write the page there, too, as Markdown", former=("--report",))
    parser.add_argument(
        "--interval",
        type=_GRAMS,
        metavar="G",
        help="the step by which it is to be trusted (default 0.1)",
    )
    parser.add_argument(
        "--capacity",
        type=_GRAMS,
        metavar="G",
        help="the heaviest load it is to weigh (default 1000)",
    )
    parser.add_argument(
        "--class",
        dest="weight_class",
        choices=WEIGHT_CLASSES,
        help="OIML class of your weights, if they have one",
    )
    parser.add_argument(
        "--minutes",
        type=number_within(0.2, 300.0, "minutes"),
        default=4.0,
        metavar="MIN",
        help="how long a load is left standing; the standard asks for 30 (default %(default)g)",
    )
    parser.add_argument(
        "--new", action="store_true", help="hold it against the limits of a new scale, half as wide"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    refuse_taken(args, args.raw, args.out)
    record = _record(args)
    check = judge_scale(record, in_service=not args.new)
    accuracy = _accuracy(check)
    sentences = abilities(check, accuracy)
    # Only now: a page is made by a part that a recording alone does not need.
    from pourcoach.reports.scale.scale_check_figures import scale_check_figures
    from pourcoach.reports.scale.scale_check_page import scale_check_page

    fit = fitness(check, accuracy)
    page = "\n".join(scale_check_page(record, check, sentences, fitness_headline(fit))) + "\n"
    if args.out is not None:
        write_text(args.out, page, over=args.force)
    if args.json:
        print(json_text(scale_check_figures(record, check, accuracy, sentences, fit)))
    else:
        print(page, end="")
    return 0 if good_enough(fit) else 1


def _record(args: argparse.Namespace) -> CheckRecord:
    if args.record is not None:
        if args.scale is not None:
            raise UsageError("--from and --scale exclude each other", "give one of them")
        if args.raw is not None:
            raise UsageError("--raw writes what is measured now", "leave it out with --from")
        return _with_yardstick(_read(args.record), args)
    address = args.scale or settings_from(args).scale
    if address is None:
        raise UsageError("no scale is named", "use --scale ADDRESS, or --from FILE")
    try:
        record = asyncio.run(_guided(address, args))
    except KeyboardInterrupt:
        raise WorkError("the check was broken off", "nothing was kept") from None
    if args.raw is not None:
        write_text(args.raw, json.dumps(record.as_dict()) + "\n", over=args.force)
    return record


async def _guided(text: str, args: argparse.Namespace) -> CheckRecord:
    from pourcoach.cli.console.terminal_asker import TerminalAsker
    from pourcoach.scales.known.names import scale_address
    from pourcoach.scales.open import calibration_in_force, open_scale
    from pourcoach.session.clock import Clock
    from pourcoach.session.weighing.bench import WeighingBench
    from pourcoach.session.weighing.checking import CheckPlan, run_check

    address = scale_address(text)
    if not address.live:
        raise UsageError(f"{text} has no platform to put weights on", "name a real scale")
    clock = Clock()
    plan = CheckPlan(
        text,
        datetime.now(UTC).isoformat(timespec="seconds"),
        args.interval or USUAL_INTERVAL_G,
        args.capacity or USUAL_CAPACITY_G,
        args.minutes * 60.0,
        known_weight_reader(args.weight_class),
    )
    asker = TerminalAsker(sys.stderr if args.json else sys.stdout)
    async with WeighingBench(open_scale(address, clock.now), asker.say) as bench:
        record = await run_check(bench, asker, plan, clock.now)
    kept = calibration_in_force(address)
    return record if kept is None else replace(record, calibration=kept.words)


def _with_yardstick(record: CheckRecord, args: argparse.Namespace) -> CheckRecord:
    return replace(
        record,
        interval_g=args.interval or record.interval_g,
        capacity_g=args.capacity or record.capacity_g,
    )


def _accuracy(check: ScaleCheck) -> JudgingAccuracy | None:
    if check.rest is None or check.pace is None:
        return None
    from pourcoach.reports.scale.judging_accuracy import judging_accuracy

    return judging_accuracy(check.rest, check.pace)


def _read(path: Path) -> CheckRecord:
    with content_of(path):
        return CheckRecord.from_dict(read_json(path, "the record"))
