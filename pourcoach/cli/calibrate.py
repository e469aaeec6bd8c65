"""``pourcoach calibrate``: known weights turn a scale's raw counts into grams."""

import argparse
import asyncio
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from pourcoach.cli.options.known_weight import known_weight_reader
from pourcoach.cli.options.number_option import number_within
from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import json_text
from pourcoach.reports.scale.calibration_page import calibration_figures, calibration_lines
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.known.calibrations import keep_calibration, kept_calibration, undo_calibration
from pourcoach.scales.known.names import scale_address
from pourcoach.text_file import content_of, read_json
from pourcoach.weighing.calibration.calibration import CalibrationFit, fit_calibration
from pourcoach.weighing.figures.creep import Creep, creep
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.verification import Yardstick

# An afternoon: what a cell does in more is the room's temperature.
LONGEST_SIT_MIN = 240.0
EXAMPLE = "pourcoach calibrate --scale serial:/dev/ttyUSB0 --weights 100,200,500"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--scale", metavar="ADDRESS", help="the scale (default: the settings')")
    parser.add_argument(
        "--weights",
        type=_weights,
        default=[],
        metavar="G,G,…",
        help="the known weights, in the order they will be put on (default: ask for each)",
    )
    parser.add_argument(
        "--from",
        dest="loads",
        type=Path,
        metavar="FILE",
        help='take loads from JSON, [{"true_g": 0, "shown": -8123}, …], shown being counts',
    )
    parser.add_argument(
        "--sit",
        type=number_within(0.0, LONGEST_SIT_MIN, "minutes"),
        default=0.0,
        metavar="MIN",
        help="then leave the last load on that long, up to 240, and say how it drifts "
        "(default: not at all)",
    )
    parser.add_argument("--dry-run", action="store_true", help="show the fit and keep nothing")
    parser.add_argument(
        "--force", action="store_true", help="keep it even where it is doubtful (default: ask)"
    )
    parser.add_argument("--show", action="store_true", help="show the calibration in force")
    parser.add_argument("--undo", action="store_true", help="go back to the one before")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    text = args.scale or settings_from(args).scale
    if text is None:
        raise UsageError("no scale is named", "use --scale ADDRESS")
    address = scale_address(text)
    if args.show or args.undo:
        return _look_back(address, args)
    if args.loads is not None:
        if args.sit > 0.0:
            raise UsageError("--sit needs a load on the scale", "leave it out with --from")
        loads = _read(args.loads)
        with content_of(args.loads):
            fit = fit_calibration(loads)
        drift, kept = None, not args.dry_run and (args.force or not fit.doubts)
    else:
        try:
            fit, drift, kept = asyncio.run(_guided(address, args))
        except KeyboardInterrupt:
            raise WorkError("the calibration was broken off", "nothing was kept") from None
    if kept:
        made_at = datetime.now(UTC).isoformat(timespec="seconds")
        keep_calibration(address, fit.calibration, made_at)
    if args.json:
        print(json_text(calibration_figures(fit, drift, kept=kept)))
    else:
        print("\n".join(calibration_lines(str(address), fit, drift, kept=kept)))
    return 0 if kept or args.dry_run else 1


def _look_back(address: ScaleAddress, args: argparse.Namespace) -> int:
    kept = undo_calibration(address) if args.undo else kept_calibration(address)
    if args.json:
        print(json_text(None if kept is None else kept.as_dict()))
    elif kept is None:
        print(f"No calibration of {address} is in force.")
    else:
        print(
            f"In force for {address}: {kept.calibration.counts_per_g:.6g} counts a gram, "
            f"{kept.calibration.empty_counts:.0f} when empty, made {kept.made_at}."
        )
    return 0


async def _guided(
    address: ScaleAddress, args: argparse.Namespace
) -> tuple[CalibrationFit, Creep | None, bool]:
    """The fit, the drift if that was asked for, and whether to keep it."""
    from pourcoach.cli.console.terminal_asker import TerminalAsker
    from pourcoach.scales.open import open_scale
    from pourcoach.session.clock import Clock
    from pourcoach.session.weighing.bench import WeighingBench
    from pourcoach.session.weighing.calibrating import SILENT, keeps, let_sit, weigh_known_loads

    if not address.live:
        raise UsageError(f"{address} sends no raw counts", "name a real scale")
    options = address.options | {"counts": "on"}
    raw = replace(address, options=options)
    asker = TerminalAsker(sys.stderr if args.json else sys.stdout)
    async with WeighingBench(open_scale(raw, Clock().now), asker.say, silent=SILENT) as bench:
        loads = await weigh_known_loads(bench, asker, args.weights, known_weight_reader())
        # Before it sits for an hour: what is wrong with the calibration is reported now.
        fit = fit_calibration(loads)
        kept = not args.dry_run and (args.force or await keeps(asker, fit.doubts))
        sat = await let_sit(bench, asker, args.sit * 60.0) if args.sit > 0 else None
    return fit, None if sat is None else _drift(sat, fit), kept


def _drift(sat: list[Reading], fit: CalibrationFit) -> Creep:
    grams = [replace(one, grams=fit.calibration.grams(one.grams)) for one in sat]
    return creep(grams, Yardstick())


def _read(path: Path) -> list[KnownLoad]:
    data = read_json(path, "the loads")
    if not isinstance(data, list):
        raise WorkError(f"{path} is no list of loads", 'write [{"true_g": 0, "shown": -8123}, …]')
    with content_of(path):
        return [KnownLoad.from_dict(entry) for entry in data]


def _parts(text: str) -> list[str]:
    """Parted by semicolons where commas are decimal ones, as in 100,5;200."""
    return text.split(";" if ";" in text else ",")


def _weights(text: str) -> list[float]:
    try:
        weights = [read_number(part) for part in _parts(text)]
    except UsageError:
        weights = []
    if not weights or not all(0 < weight < 1e5 for weight in weights):
        raise argparse.ArgumentTypeError(f"{text!r} is no list of weights, as in 100,200,500")
    return weights
