"""``pourcoach strength``: strength and extraction with their errors, on the control chart."""

import argparse

from pourcoach.brewing.strength.brix import USUAL_BRIX_ERROR, USUAL_FACTOR_ERROR, strength_from_brix
from pourcoach.brewing.strength.extraction import (
    RETAINED_ERROR_G_PER_G,
    RETAINED_G_PER_G,
)
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import (
    USUAL_DOSE_ERROR_G,
    USUAL_MASS_ERROR_G,
    USUAL_STRENGTH_ERROR_PCT,
    ExtractionMethod,
    MeasuredBrew,
    work_out_extraction,
)
from pourcoach.brewing.working import Working
from pourcoach.cli.console.terminal import say_error, takes_blocks
from pourcoach.cli.options.number_option import number
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import json_text
from pourcoach.reports.trade.control_chart import ASCII_MARKS, BLOCK_MARKS, control_chart
from pourcoach.reports.trade.strength_page import strength_figures, strength_lines
from pourcoach.reports.trade.targets_page import target_lines

EXAMPLE = "pourcoach strength --dose 20 --water 320 --beverage 281 --tds 1.34 --why"


def configure(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    add("--dose", type=number, metavar="G", help="dry coffee")
    add("--water", type=number, metavar="G", help="water poured on the coffee")
    add("--ice", type=number, metavar="G", help="ice in the server, melted in the cup")
    add("--bypass", type=number, metavar="G", help="water added to the cup after the brew")
    add(
        "--beverage",
        type=number,
        metavar="G",
        help="coffee in the server, weighed; with what was added",
    )
    add("--tds", type=number, metavar="PCT", help="strength reading, percent dissolved solids")
    add("--brix", type=number, metavar="B", help="strength reading in degrees Brix, instead")
    add("--brix-factor", type=number, metavar="F", help="the maker's percent solids to a degree")
    add(
        "--method",
        choices=[method.value for method in ExtractionMethod],
        help="which equation (default: beverage, where --beverage is given)",
    )
    add(
        "--retained",
        type=number,
        default=RETAINED_G_PER_G,
        metavar="G/G",
        help="liquid kept by each gram of coffee, for the drip equations (default %(default)g)",
    )
    add("--brix-error", type=number, default=USUAL_BRIX_ERROR, metavar="B",
        help="standard error of the Brix reading (default %(default)g)")  # fmt: skip
    add("--brix-factor-error", type=number, default=USUAL_FACTOR_ERROR, metavar="F",
        help="standard error of that factor (default %(default)g)")  # fmt: skip
    add("--tds-error", type=number, metavar="PCT",
        help="standard error of the strength reading "
        f"(default {USUAL_STRENGTH_ERROR_PCT:g})")  # fmt: skip
    add("--mass-error", type=number, default=USUAL_MASS_ERROR_G, metavar="G",
        help="standard error of water and beverage (default %(default)g)")  # fmt: skip
    add(
        "--recording",
        metavar="FILE",
        help="take dose and water from a brew's recording, a file or a name, and draw its brewer's "
        "earlier cups",
    )
    add("--save", action="store_true", help="keep the reading with the brew of --recording")
    add("--keep", dest="save", action="store_true", default=argparse.SUPPRESS,
        help=argparse.SUPPRESS)  # fmt: skip
    add("--earlier", nargs="*", default=[], metavar="E,S",
        help="other brews to draw, as extraction,strength in percent")  # fmt: skip
    add("--json", action="store_true", help="print one JSON object")
    add("--why", action="store_true", help="give formula, numbers and source")
    add("--targets", action="store_true", help="print the published targets and leave")
    add("--no-chart", action="store_true", help="leave the control chart out")


def run(args: argparse.Namespace) -> int:
    if args.targets:
        print("\n".join(target_lines()))
        return 0
    if args.save and args.recording is None:
        raise UsageError("--save does not know which brew", "give --recording FILE")
    if args.recording is not None:
        # Only now: it loads the library.
        from pourcoach.session.kept.tape import recording_called

        args.recording = recording_called(args.recording)
    earlier = [_point(text) for text in args.earlier]
    strength_pct, converted = _strength(args)
    brew = _measured_brew(args, strength_pct)
    found = work_out_extraction(brew)
    if args.recording is not None:
        from pourcoach.library.kept_strength import earlier_points, keep_strength

        earlier += earlier_points(args.recording)
        if args.save:
            later = keep_strength(args.recording, brew)
            if later is not None:
                say_error(later)
    if args.json:
        print(json_text(strength_figures(brew, found)))
    else:
        lines = strength_lines(brew, found, why=args.why, converted=converted)
        if not args.no_chart:
            marks = BLOCK_MARKS if takes_blocks() else ASCII_MARKS
            lines += ["", *control_chart(found, earlier, marks=marks)]
        print("\n".join(lines))
    return 0


def _measured_brew(args: argparse.Namespace, strength_pct: Measured) -> MeasuredBrew:
    dose_g, water_g, beverage_g = args.dose, args.water, args.beverage
    added_g = (args.ice or 0.0) + (args.bypass or 0.0)
    if args.recording is not None:
        # Only now: judging a tape loads the whole fold, with numpy.
        from pourcoach.library.kept_strength import masses_of

        taped = masses_of(args.recording)
        dose_g = taped.dose_g if dose_g is None else dose_g
        water_g = taped.water_g if water_g is None else water_g
        beverage_g = taped.beverage_g if beverage_g is None else beverage_g
        added_g = taped.added_g if args.ice is args.bypass is None else added_g
    if dose_g is None:
        raise UsageError("the dose is missing", "give --dose G, or --recording of a planned brew")
    if args.method is not None:
        method = ExtractionMethod(args.method)
    elif beverage_g is not None:
        method = ExtractionMethod.BEVERAGE
    else:
        raise UsageError(
            "without the beverage's mass an equation must be chosen",
            "give --beverage G, or --method drip-classic, drip-dissolved or immersion",
        )
    return MeasuredBrew(
        dose_g=Measured(dose_g, USUAL_DOSE_ERROR_G),
        strength_pct=strength_pct,
        method=method,
        beverage_g=None if beverage_g is None else Measured(beverage_g, args.mass_error),
        water_g=None if water_g is None else Measured(water_g, args.mass_error),
        added_g=Measured(added_g, args.mass_error) if added_g else None,
        retained=Measured(args.retained, RETAINED_ERROR_G_PER_G),
    )


def _strength(args: argparse.Namespace) -> tuple[Measured, Working | None]:
    """The reading, and how it was converted where it was one of Brix."""
    if (args.tds is None) == (args.brix is None):
        raise UsageError("one strength reading is needed", "give --tds PCT, or --brix B")
    if args.brix is None:
        error = USUAL_STRENGTH_ERROR_PCT if args.tds_error is None else args.tds_error
        return Measured(args.tds, error), None
    if args.tds_error is not None:
        raise UsageError("--tds-error is of a reading in percent", "use --brix-error")
    if args.brix_factor is None:
        raise UsageError(
            "degrees Brix are of sugar, not of coffee",
            "give --brix-factor as your refractometer's maker states it, about 0.7 to 1.0",
        )
    return strength_from_brix(
        Measured(args.brix, args.brix_error), Measured(args.brix_factor, args.brix_factor_error)
    )


def _point(text: str) -> tuple[float, float]:
    parts = text.split(";" if ";" in text else ",")
    try:
        extraction, strength = map(read_number, parts)
    except (UsageError, ValueError):
        raise UsageError(
            f"{text!r} is no point", "write --earlier 19.5,1.32, or 19,5;1,32 with decimal commas"
        ) from None
    return extraction, strength
