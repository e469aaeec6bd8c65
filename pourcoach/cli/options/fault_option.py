"""``--fault``: orders one fault for a simulated brew, as ``stall:stage=1,lasts_s=2``."""

import argparse
from dataclasses import MISSING, fields

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.plan import Plan
from pourcoach.simulation.faults import (
    BloomWater,
    Dropout,
    Knock,
    Landing,
    Lean,
    Lift,
    OrderedFault,
    Outage,
    OwnTare,
    Press,
    SlowBed,
    Stall,
    Start,
    Surge,
    Uneven,
    Vapour,
)

KINDS: dict[str, type[OrderedFault]] = {
    "uneven": Uneven,
    "stall": Stall,
    "surge": Surge,
    "landing": Landing,
    "bloom-water": BloomWater,
    "start": Start,
    "slow-bed": SlowBed,
    "vapour": Vapour,
    "knock": Knock,
    "lean": Lean,
    "press": Press,
    "lift": Lift,
    "own-tare": OwnTare,
    "dropout": Dropout,
    "outage": Outage,
}
# What a hand, a bed or a bystander can do within a brew: beyond these a fault has no meaning, and
# some would be simulated for ever.
_BOUNDS = {
    "cv": (0.0, 2.0),
    "lasts_s": (0.01, 300.0),
    "share": (0.0, 20.0),
    "after_share": (0.0, 1.0),
    "off_g": (-500.0, 500.0),
    "off_share": (-1.0, 5.0),
    "off_s": (-300.0, 300.0),
    "times": (0.01, 100.0),
    "brew_s": (-60.0, 3600.0),
    "size_g": (-5000.0, 5000.0),
    "edge_s": (0.01, 60.0),
    "rises_s": (0.01, 60.0),
    "holds_s": (0.0, 300.0),
    "falls_s": (0.01, 60.0),
    "noticed_s": (0.0, 300.0),
    "gps": (0.0, 1.0),
}


def add_fault_option(parser: argparse.ArgumentParser) -> None:
    """Give the parser ``--fault``, which may be given again and again."""
    parser.add_argument(
        "--fault",
        action="append",
        default=[],
        metavar="KIND:NAME=VALUE,…",
        help="order a fault: " + "; ".join(map(_form, KINDS)) + ". Stages count from 0, the bloom.",
    )


def faults_from(args: argparse.Namespace, plan: Plan) -> list[OrderedFault]:
    """The faults ordered. Raises UsageError saying what is wrong with one."""
    return [_fault(text, plan) for text in args.fault]


def _form(kind: str) -> str:
    names = [field.name for field in fields(KINDS[kind])]
    return f"{kind}:{','.join(names)}"


def _fault(text: str, plan: Plan) -> OrderedFault:
    kind, _, rest = text.partition(":")
    if kind not in KINDS:
        raise UsageError(f"no fault is called {kind!r}", "there are " + ", ".join(KINDS))
    remedy = f"write it as {_form(kind)} with NAME=VALUE for each you set"
    known = {field.name: field for field in fields(KINDS[kind])}
    values: dict[str, float] = {}
    for part in rest.split(",") if rest else ():
        name, _, value = part.partition("=")
        if name not in known:
            raise UsageError(f"{kind} has no {name!r}", remedy)
        try:
            values[name] = int(value) if name == "stage" else read_number(value)
        except (UsageError, ValueError):
            raise UsageError(f"{name} of {kind} is {value!r}, not a number", remedy) from None
        if name != "stage":
            least, most = _BOUNDS[name]
            if not least <= values[name] <= most:
                raise UsageError(
                    f"{name} of {kind} is {values[name]:g}",
                    f"use a number from {least:g} to {most:g}",
                )
    for name, field in known.items():
        if name not in values and field.default is MISSING:
            raise UsageError(f"{kind} needs {name}", remedy)
    if not 0 <= values.get("stage", 0) < len(plan.stages):
        raise UsageError(
            f"the plan has no stage {values['stage']:g}",
            f"its stages count from 0 to {len(plan.stages) - 1}",
        )
    return KINDS[kind](**values)  # type: ignore[arg-type]  # stage alone is an int, and was made one
