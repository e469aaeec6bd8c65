"""``pourcoach temperature``: what can be had here, what arrives at the bed, and what burns."""

import argparse

from pourcoach.brewing.plan.request import DEFAULT_TEMPERATURE_C
from pourcoach.brewing.temperature.kettle_loss import KettleLoss, fit_kettle_loss
from pourcoach.brewing.temperature.reach import (
    BrewingPlace,
    place_at_altitude,
    place_at_pressure,
    refuse_kettle,
    refuse_temperature,
)
from pourcoach.brewing.temperature.water_properties import (
    mass_g,
    volume_ml,
)
from pourcoach.cli.options.number_option import number
from pourcoach.cli.options.plan_options import temperature_c
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import json_text
from pourcoach.reports.trade.temperature_page import (
    temperature_figures,
    temperature_lines,
    temperature_reasons,
)

EXAMPLE = "pourcoach temperature --aim 88 --altitude 1600 --kettle 94 --bed 89 --room 22"


def configure(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    add("--aim", type=temperature_c, default=DEFAULT_TEMPERATURE_C, metavar="C",
        help="wanted at the bed where a loss is fitted, else in the kettle; 94 or 201F "
        "(default %(default)g)")  # fmt: skip
    place = parser.add_mutually_exclusive_group()
    place.add_argument("--altitude", type=number, metavar="M", help="above sea level")
    place.add_argument(
        "--pressure",
        type=number,
        metavar="HPA",
        help="station pressure; not the forecast's, which is reduced to sea level",
    )
    loss = parser.add_argument_group("your own two readings of one pour, to fit the loss")
    loss.add_argument("--kettle", type=temperature_c, metavar="C", help="in the kettle")
    loss.add_argument("--bed", type=temperature_c, metavar="C", help="in the bed")
    loss.add_argument("--room", type=temperature_c, metavar="C", help="of the air")
    amount = parser.add_mutually_exclusive_group()
    amount.add_argument(
        "--volume", type=number, metavar="ML", help="give the mass of so much water"
    )
    amount.add_argument("--mass", type=number, metavar="G", help="give the volume of so much water")
    add("--json", action="store_true", help="print one JSON object")
    add("--why", action="store_true", help="give formula, numbers and source")


def run(args: argparse.Namespace) -> int:
    refuse_temperature(args.aim)
    place = _place(args)
    loss = _loss(args, place)
    kettle_c = args.aim if loss is None else loss.kettle_c(args.aim)
    if args.json:
        figures = temperature_figures(args.aim, kettle_c, place, loss) | _amount(args)
        print(json_text(figures))
    else:
        lines = temperature_lines(args.aim, kettle_c, place, loss)
        for key, value in _amount(args).items():
            noun, unit = key.split("_")
            lines.append(f"{noun:<10} {value:.1f} {'mL' if unit == 'ml' else unit}")
        if args.why:
            lines += ["", *temperature_reasons(args.aim, kettle_c, place, loss)]
        print("\n".join(lines))
    return 0


def _place(args: argparse.Namespace) -> BrewingPlace:
    if args.pressure is not None:
        return place_at_pressure(100.0 * args.pressure)
    return place_at_altitude(0.0 if args.altitude is None else args.altitude)


def _loss(args: argparse.Namespace, place: BrewingPlace) -> KettleLoss | None:
    readings = (args.kettle, args.bed, args.room)
    if all(reading is None for reading in readings):
        return None
    if any(reading is None for reading in readings):
        raise UsageError("the loss needs two readings and the room", "give --kettle --bed --room")
    refuse_kettle(args.kettle, place)
    return fit_kettle_loss(*readings)


def _amount(args: argparse.Namespace) -> dict[str, float]:
    """Mass and volume at the aim, where one of them was asked about."""
    if args.volume is not None:
        return {"volume_ml": args.volume, "mass_g": round(mass_g(args.volume, args.aim), 2)}
    if args.mass is not None:
        return {"mass_g": args.mass, "volume_ml": round(volume_ml(args.mass, args.aim), 2)}
    return {}
