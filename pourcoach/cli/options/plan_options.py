"""The plan options, the same on every command that takes a plan."""

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from pourcoach.brewing.plan.bloom import Roast
from pourcoach.brewing.plan.brewer import BREWERS, DEFAULT_BREWER
from pourcoach.brewing.plan.plan_file import plan_from_toml
from pourcoach.brewing.plan.pour_plan import WorkedPlan, work_out
from pourcoach.brewing.plan.request import (
    DEFAULT_BLOOM_MULTIPLE,
    DEFAULT_RATIO,
    DEFAULT_TEMPERATURE_C,
    PlanRequest,
)
from pourcoach.brewing.temperature.bands import celsius
from pourcoach.cli.options.number_option import number
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.plan import Plan, Then
from pourcoach.text_file import content_of, read_text

# option's place in the parsed arguments -> field of PlanRequest
_FIELDS = {
    "dose": "dose_g",
    "ratio": "ratio",
    "water": "water_g",
    "cup": "cup_g",
    "ice": "ice_g",
    "bypass": "bypass_g",
    "bloom": "bloom_multiple",
    "bloom_wait": "bloom_wait_s",
    "bloom_then": "bloom_then",
    "pours": "pours",
    "flow": "flow_gps",
    "brewer": "brewer",
    "temperature": "temperature_c",
    "roast": "roast",
    "days_off_roast": "days_off_roast",
}
_HOW_MUCH = {"ratio", "water_g", "cup_g"}


def add_plan_options(parser: argparse.ArgumentParser) -> None:
    """Give the parser the plan options in a group of their own."""
    group = parser.add_argument_group("plan")

    def add(name: str, kind: Callable[[str], Any], metavar: str, text: str) -> None:
        group.add_argument(f"--{name}", type=kind, metavar=metavar, help=text)

    add("dose", number, "G", f"coffee (default {BREWERS[DEFAULT_BREWER].dose_g:g}, by brewer)")
    add("ratio", number, "R", f"water over coffee, ice and bypass too (default {DEFAULT_RATIO:g})")
    add("water", number, "G", "brew water, instead of --ratio")
    add("cup", number, "G", "coffee in the cup, instead of --ratio or --water")
    add("ice", number, "G", "of the water, so much as ice in the server")
    add("bypass", number, "G", "of the water, so much added to the cup after the brew")
    add("bloom", number, "X", f"bloom water over coffee (default {DEFAULT_BLOOM_MULTIPLE:g})")
    add(
        "bloom-wait",
        number,
        "S",
        "wait once the bloom is in (default 15-45 by dose, roast and age)",
    )
    group.add_argument(
        "--bloom-then",
        choices=[word.value for word in Then],
        help="what is done once the bloom is poured; a touch for it is not noted",
    )
    add("pours", int, "N", "pours after the bloom (default by brewer, more for much water)")
    add("flow", number, "G/S", "flow of the kettle (default by brewer)")
    group.add_argument(
        "--brewer", choices=[*BREWERS], help=f"kind of brewer (default {DEFAULT_BREWER})"
    )
    add(
        "temperature",
        temperature_c,
        "C",
        f"brew water, as 94, 94C or 201F (default {DEFAULT_TEMPERATURE_C:g})",
    )
    group.add_argument(
        "--roast",
        choices=[roast.value for roast in Roast],
        help="how dark the roast is; moves the bloom wait",
    )
    add("days-off-roast", number, "D", "days since roasting; moves the bloom wait")
    group.add_argument(
        "--plan", type=Path, metavar="FILE", help="a plan file (TOML), instead of the options above"
    )


def plan_from(args: argparse.Namespace, defaults: Mapping[str, Any] | None = None) -> Plan:
    """The plan asked for; see ``worked_plan_from``."""
    return worked_plan_from(args, defaults).plan


def worked_plan_from(
    args: argparse.Namespace, defaults: Mapping[str, Any] | None = None
) -> WorkedPlan:
    """The plan asked for, with warnings and reasons.

    ``defaults`` are fields of ``PlanRequest`` by name, from the settings; options win over them.
    Raises UsageError for an impossible plan, WorkError where the file cannot be read.
    """
    given = {
        field: getattr(args, option)
        for option, field in _FIELDS.items()
        if getattr(args, option) is not None
    }
    if args.plan is not None:
        if given:
            raise UsageError(
                "--plan and other plan options exclude each other",
                "change the file, or leave it out",
            )
        with content_of(args.plan):
            return plan_from_toml(read_text(args.plan, "the plan file"))
    usual = dict(defaults or {})
    if len(given.keys() & (_HOW_MUCH | {"dose_g"})) >= 2 or given.keys() & _HOW_MUCH:
        # An option that settles how much water outranks every saved way to say it.
        for key in _HOW_MUCH:
            usual.pop(key, None)
    return work_out(PlanRequest.from_dict({**usual, **given}))


def temperature_c(text: str) -> float:
    """``94``, ``94C`` or ``201F`` in °C, as an argparse type."""
    plain = text.strip().upper().removesuffix("C").removesuffix("°").strip()
    try:
        if plain.endswith("F"):
            return celsius(read_number(plain.removesuffix("F").removesuffix("°")))
        return read_number(plain)
    except UsageError:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no temperature; write 94, 94C or 201F"
        ) from None
