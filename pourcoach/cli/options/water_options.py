"""Options that describe a water, in the units of kits, meters and reports."""

import argparse
from dataclasses import replace

from pourcoach.brewing.water.amounts import AMOUNTS
from pourcoach.brewing.water.conductivity import SCALES, dissolved_solids_mgl
from pourcoach.brewing.water.units import milligrams_per_litre
from pourcoach.brewing.water.water import Water, WaterSource
from pourcoach.cli.options.number_option import number
from pourcoach.domain.errors import UsageError
from pourcoach.library.water_shelf import saved_water


def add_amount_options(parser: argparse.ArgumentParser, names: tuple[str, ...], verb: str) -> None:
    """Give the parser amounts with units, a bare number being mg/L (hardness as CaCO3)."""
    group = parser.add_argument_group(f"{verb} (as '8 dH'; a bare number is mg/L, as CaCO3)")
    for name in names:
        _, units, _ = AMOUNTS[name]
        group.add_argument(f"--{name}", metavar="AMOUNT", help=", ".join(units))


def add_water_options(parser: argparse.ArgumentParser) -> None:
    """Give the parser all that can be given for a water."""
    parser.add_argument(
        "name",
        nargs="?",
        metavar="NAME",
        help="a saved water; options change what is known of it (default: nothing known yet)",
    )
    parser.add_argument(
        "--source", choices=[source.value for source in WaterSource], help="where it comes from"
    )
    parser.add_argument(
        "--tested",
        action="store_true",
        help="a laboratory has lately found this well, roof or spring water fit to drink",
    )
    parser.add_argument("--ph", type=number, metavar="PH", help="as a meter or a strip says")
    add_amount_options(parser, tuple(AMOUNTS), "what is known")
    parser.add_argument("--conductivity", type=number, metavar="US_CM", help="µS/cm at 25 °C")
    parser.add_argument(
        "--conductivity-scale",
        metavar="SCALE",
        help=f"{', '.join(SCALES)} or the meter's own factor; needed with --conductivity",
    )


def water_of(args: argparse.Namespace) -> Water:
    """The saved water, or nothing known, with what the options say put in."""
    water = Water() if args.name is None else saved_water(args.name)
    given: dict[str, object] = dict(amounts_from(args))
    if args.source is not None:
        given["source"] = WaterSource(args.source)
    if args.tested:
        given["tested"] = True
    if args.ph is not None:
        given["ph"] = args.ph
    if args.conductivity is not None:
        if args.conductivity_scale is None:
            raise UsageError(
                "conductivity alone does not give dissolved solids",
                "give --conductivity-scale: 442, kcl, nacl or the factor your meter uses",
            )
        given["tds_mgl"], _ = dissolved_solids_mgl(args.conductivity, args.conductivity_scale)
    if not given and args.name is None:
        raise UsageError("nothing is known of the water", "give what a kit or report says")
    return replace(water, **given)  # type: ignore[arg-type]


def amounts_from(args: argparse.Namespace) -> dict[str, float]:
    """The amounts that were given, by field of Water, in mg/L."""
    given = {}
    for option, (field, units, noun) in AMOUNTS.items():
        text = getattr(args, option, None)
        if text is not None:
            given[field] = milligrams_per_litre(text, units, noun)
    return given
