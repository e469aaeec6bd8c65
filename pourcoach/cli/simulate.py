"""``pourcoach simulate``: writes a simulated recording with its truth."""

import argparse
import json
from dataclasses import asdict, replace
from pathlib import Path
from urllib.parse import urlencode

from pourcoach.cli.options.fault_option import add_fault_option, faults_from
from pourcoach.cli.options.number_option import number
from pourcoach.cli.options.plan_options import add_plan_options, plan_from
from pourcoach.cli.options.seed_option import add_seed_option
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.setup import Setup
from pourcoach.recordings.tape import SUFFIXES, Tape, TapeHeader
from pourcoach.recordings.whole_tape import write_tape
from pourcoach.recordings.writer import refuse_existing_tape
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profiles import PROFILES
from pourcoach.simulation.scale.scale_model import MODELS, ScaleModel, model_named
from pourcoach.text_file import write_text

EXAMPLE = "pourcoach simulate --profile stalling --seed 3 --rate 80 --out stall.jsonl"

# The recording goes on while the hand lifts the brewer off, long enough that the lift is seen to
# stay. Common practice.
LIFTED_S = 4.0


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--out", type=Path, required=True, metavar="FILE", help="where to write the recording"
    )
    parser.add_argument(
        "--truth",
        type=Path,
        metavar="FILE",
        help="where to write its truth, as JSON (default OUT.truth.json)",
    )
    parser.add_argument("--no-truth", action="store_true", help="write the recording alone")
    parser.add_argument(
        "--profile", choices=PROFILES, default="steady", help="whose hand (default %(default)s)"
    )
    add_seed_option(parser)
    parser.add_argument(
        "--model", choices=MODELS, default="kitchen", help="what scale (default %(default)s)"
    )
    parser.add_argument(
        "--rate", type=number, metavar="HZ", help="its readings a second (default: the model's)"
    )
    parser.add_argument(
        "--resolution", type=number, metavar="G", help="its step (default: the model's)"
    )
    parser.add_argument(
        "--noise",
        type=number,
        metavar="G",
        help="its noise, standard deviation (default: the model's)",
    )
    parser.add_argument(
        "--arrangement",
        choices=[arrangement.value for arrangement in Arrangement],
        default=Arrangement.BREWER_ON_SCALE.value,
        help="what stands on it (default %(default)s)",
    )
    add_fault_option(parser)
    add_plan_options(parser)


def run(args: argparse.Namespace) -> int:
    if not args.out.name.endswith(SUFFIXES):
        args.out = args.out.with_name(args.out.name + SUFFIXES[0])
    plan = plan_from(args)
    model = _model(args)
    faults = faults_from(args, plan)
    arrangement = Arrangement(args.arrangement)
    brew = SimulatedBrew(plan, args.profile, args.seed, model, arrangement, faults)
    readings = brew.run()
    end_s = round(readings[-1].t_s + LIFTED_S, 4)
    readings += brew.advance_to(end_s)
    header = TapeHeader(
        plan=plan,
        setup=Setup(arrangement),
        scale={
            "address": _address(args),
            "rate_hz": model.rate_hz,
            "resolution_g": model.resolution_g,
        },
    )
    refuse_existing_tape(args.out)
    if not args.no_truth:
        # First, so that a truth that cannot be written leaves no tape in the next try's way.
        truth_path = args.truth or args.out.with_name(args.out.name + ".truth.json")
        truth = {
            "profile": args.profile,
            "seed": args.seed,
            "scale": asdict(model),
            "arrangement": arrangement.value,
            "ordered": args.fault,
            "plan": plan.as_dict(),
            **brew.truth.as_dict(),
        }
        write_text(truth_path, json.dumps(truth) + "\n")
        print(f"wrote {truth_path}")
    write_tape(args.out, Tape(header, tuple(brew.arriving(readings)), end_s))
    print(f"wrote {args.out}")
    return 0


def _model(args: argparse.Namespace) -> ScaleModel:
    chosen = {"rate_hz": args.rate, "resolution_g": args.resolution, "noise_g": args.noise}
    given = {name: value for name, value in chosen.items() if value is not None}
    return replace(model_named(args.model), **given)


def _address(args: argparse.Namespace) -> str:
    """Under which the same scale and hand, but for ordered faults, can be brewed with live."""
    options = {"seed": args.seed, "model": args.model}
    chosen = {"rate": args.rate, "resolution": args.resolution, "noise": args.noise}
    options |= {name: f"{value:g}" for name, value in chosen.items() if value is not None}
    if args.arrangement != Arrangement.BREWER_ON_SCALE.value:
        options["arrangement"] = args.arrangement
    return f"sim:{args.profile}?{urlencode(options)}"
