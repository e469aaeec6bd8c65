"""``pourcoach water``: judges, blends, dilutes and doses brew water, and keeps known ones."""

import argparse
from collections.abc import Callable
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.brewing.water.additive import additive
from pourcoach.brewing.water.amounts import AMOUNTS
from pourcoach.brewing.water.scaling import HOT_C
from pourcoach.brewing.water.targets import STANDARDS
from pourcoach.brewing.water.water import DEMINERALISED, Water, blend, share_to_reach
from pourcoach.brewing.water.water_verdict import judge_water
from pourcoach.cli.commands import texts
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.number_option import number
from pourcoach.cli.options.plan_options import temperature_c
from pourcoach.cli.options.water_options import (
    add_amount_options,
    add_water_options,
    amounts_from,
    water_of,
)
from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import json_text
from pourcoach.library.water_shelf import delete_water, save_water, saved_water, saved_waters
from pourcoach.reports.trade.dose_page import dose_figures, dose_lines
from pourcoach.reports.trade.water_page import known_line, water_figures, water_lines

EXAMPLE = "pourcoach water check --source mains --ph 7.4 --hardness 12dH --alkalinity 9dH"

_AIMS = ("hardness", "calcium", "magnesium", "alkalinity", "sodium")


def configure(parser: argparse.ArgumentParser) -> None:
    commands = parser.add_subparsers(dest="action", metavar="ACTION", required=True)

    def add(
        name: str, run: Callable[[argparse.Namespace], int], text: str, example: str
    ) -> argparse.ArgumentParser:
        whole = texts(text, f"pourcoach water {name} {example}".strip())
        command = commands.add_parser(name, help=text, **whole)
        command.set_defaults(act=run)
        return command

    check = add(
        "check",
        _check,
        "compares a water with published targets, item by item",
        "--source mains --ph 7.4 --hardness 12dH --alkalinity 9dH --save home",
    )
    add_water_options(check)
    _add_verdict_options(check)

    mix = add(
        "blend",
        _blend,
        "mixes waters, or finds the shares that come nearest to an aim",
        "home demineralised --alkalinity 40",
    )
    mix.add_argument(
        "parts",
        nargs="+",
        metavar="NAME[:SHARE]",
        help="a saved water, or demineralised; with its share unless there are aims",
    )
    add_amount_options(mix, _AIMS, "what to aim at")
    _add_verdict_options(mix)

    dilute = add(
        "dilute",
        _dilute,
        "finds how much demineralised water brings a water down",
        "home --to alkalinity=40",
    )
    add_water_options(dilute)
    dilute.add_argument(
        "--to", required=True, metavar="ITEM=AMOUNT", help="as hardness='4 dH' or alkalinity=40"
    )
    _add_verdict_options(dilute)

    dose = add(
        "dose",
        _dose,
        "finds how much of which salt brings a water to its aim, in grams",
        "--with calcium-chloride baking-soda@10 --litres 5 --calcium 68 --alkalinity 40",
    )
    dose.add_argument(
        "name",
        nargs="?",
        default="demineralised",
        metavar="NAME",
        help="a saved water (default %(default)s)",
    )
    dose.add_argument(
        "--with",
        dest="additives",
        nargs="+",
        required=True,
        metavar="SALT",
        help="calcium-chloride, epsom-salt, magnesium-chloride, baking-soda, "
        "potassium-bicarbonate; with other crystal water calcium-chloride-anhydrous and so on, or "
        "by formula; baking-soda@10 is a concentrate of 10 g/kg",
    )
    dose.add_argument(
        "--litres", type=number, default=1.0, metavar="L", help="how much water (default 1)"
    )
    add_amount_options(dose, _AIMS, "what to aim at")
    _add_verdict_options(dose)

    use = add("use", _use, "says which saved water a kept brew was made with", "home brew.jsonl")
    use.add_argument("name", metavar="NAME", help="a saved water")
    use.add_argument(
        "recordings", nargs="+", type=Path, metavar="RECORDING", help="recordings of brews"
    )

    listed = add("list", _list, "lists the saved waters", "")
    listed.add_argument("--json", action="store_true", help="print one JSON object a water")
    delete = add("delete", _delete, "forgets a saved water", "home")
    delete.add_argument("name", metavar="NAME", help="a saved water")


def run(args: argparse.Namespace) -> int:
    status: int = args.act(args)
    return status


def _add_verdict_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--standard",
        choices=[*STANDARDS],
        default="scaa",
        help="whose targets to compare with (default %(default)s)",
    )
    parser.add_argument(
        "--hot",
        type=temperature_c,
        default=HOT_C,
        metavar="C",
        help="how hot the water gets, for limescale (default 93)",
    )
    parser.add_argument(
        "--save",
        metavar="NAME",
        help="keep the water under this name; adds to what is known of one that is there",
    )
    parser.add_argument(
        "--force", action="store_true", help="save it in the place of another of that name"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--why", action="store_true", help="give formula, numbers and source")


def _print(args: argparse.Namespace, water: Water, lead: list[str], figures: object) -> int:
    """Print what was worked out and then the verdict on the water it makes."""
    standard = STANDARDS[args.standard]
    verdict = judge_water(water, standard, args.hot)
    if args.save is not None:
        # Whoever corrects a saved water and gives it back its name means to change it.
        corrected = args.action == "check" and args.save == args.name
        save_water(args.save, water, over=args.force or corrected)
    if args.json:
        data = water_figures(water, standard, verdict)
        if figures is not None:
            data |= {args.action: figures}
        print(json_text(data))
    else:
        print("\n".join([*lead, *water_lines(water, standard, verdict, why=args.why)]))
    return 0


def _check(args: argparse.Namespace) -> int:
    return _print(args, water_of(args), [], None)


def _blend(args: argparse.Namespace) -> int:
    parts = _parts(args)
    mixed = blend([(saved_water(name), share) for name, share in parts])
    total = sum(share for _, share in parts)
    lead = [f"{100.0 * share / total:5.1f} %  {name}" for name, share in parts]
    lead.append("by mass; pH does not average and is unknown until measured")
    if args.why:
        lead.append("c = x1 c1 + x2 c2 + …, a mass balance, exact for ions and alkalinity")
        if amounts_from(args):
            lead.append("shares by least squares with bounds (Stark & Parker 1995)")
    shares = {name: share / total for name, share in parts}
    return _print(args, mixed, [*lead, ""], {"shares": shares})


def _dilute(args: argparse.Namespace) -> int:
    water = water_of(args)
    option, _, amount = args.to.partition("=")
    if option not in AMOUNTS or not amount:
        raise UsageError(f"--to {args.to!r} is no aim", "write hardness='4 dH' or alkalinity=40")
    field, aim = next(iter(amounts_from(argparse.Namespace(**{option: amount})).items()))
    value = water.total_hardness_mgl if option == "hardness" else getattr(water, field)
    if value is None:
        raise UsageError(f"the water's {option} is unknown", f"give --{option}")
    share = share_to_reach(option, value, aim)
    lead = [
        f"{100 * share:.1f} % of it and {100 * (1 - share):.1f} % demineralised water, by mass: "
        f"{1000 * share:.0f} g and {1000 * (1 - share):.0f} g to a kilogram",
    ]
    if args.why:
        lead += ["x = aim / value, a mass balance", f"  {aim:.1f} / {value:.1f} = {share:.4f}"]
    mixed = blend([(water, share), (DEMINERALISED, 1.0 - share)])
    return _print(args, mixed, [*lead, ""], {"share": share})


def _dose(args: argparse.Namespace) -> int:
    from pourcoach.brewing.water.dosing import dose_towards  # numpy, for this alone

    aims = amounts_from(args)
    dose = dose_towards(
        saved_water(args.name), aims, [additive(text) for text in args.additives], args.litres
    )
    lead = dose_lines(dose, args.name, why=args.why)
    figures = dose_figures(dose)
    return _print(args, dose.result, [*lead, ""], figures)


def _list(args: argparse.Namespace) -> int:
    waters = saved_waters()
    if args.json:
        for name, water in waters.items():
            print(json_text({"name": name} | water.as_dict()))
    elif not waters:
        print("no water is saved; 'pourcoach water check … --save NAME' keeps one")
    for name, water in waters.items() if not args.json else ():
        print(f"{name}: {known_line(water)}")
    return 0


def _use(args: argparse.Namespace) -> int:
    from pourcoach.library.entering import number_of_tape
    from pourcoach.library.library import Library, library_path
    from pourcoach.library.saying import say

    saved_water(args.name)
    now = wall_clock.timestamp()
    with Library(library_path()) as library:
        for tape in args.recordings:
            later = say(
                library, number_of_tape(library, tape), [Fact(FactKind.WATER, args.name, now)]
            )
            if later is not None:
                say_error(later)
    return 0


def _delete(args: argparse.Namespace) -> int:
    delete_water(args.name)
    return 0


def _parts(args: argparse.Namespace) -> list[tuple[str, float]]:
    """Names and shares: as given, or nearest to the aims."""
    aims = amounts_from(args)
    if not aims:
        return [_part(text) for text in args.parts]
    from pourcoach.brewing.water.blending import shares_towards  # numpy, for this alone

    return list(
        zip(
            args.parts,
            shares_towards([saved_water(name) for name in args.parts], aims),
            strict=True,
        )
    )


def _part(text: str) -> tuple[str, float]:
    name, _, share = text.rpartition(":")
    try:
        return name, read_number(share)
    except UsageError:
        raise UsageError(
            f"{text!r} is no part of a blend", "write NAME:SHARE, as home:60"
        ) from None
