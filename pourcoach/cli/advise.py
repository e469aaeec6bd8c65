"""``pourcoach advise``: what to change for the next brew, one thing at a time."""

import argparse
from dataclasses import replace
from typing import Any

from pourcoach.brewing.advice.dialling_in import advise
from pourcoach.brewing.advice.evidence import POUR_FAULTS, Evidence
from pourcoach.brewing.advice.move import NOTHING, Move, changes_in
from pourcoach.brewing.advice.taste import taste
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import (
    USUAL_DOSE_ERROR_G,
    USUAL_MASS_ERROR_G,
    USUAL_STRENGTH_ERROR_PCT,
    MeasuredBrew,
    refuse_strength,
    work_out_extraction,
)
from pourcoach.brewing.water.targets import SCAA
from pourcoach.brewing.water.water_verdict import judge_water
from pourcoach.cli.options.number_option import number
from pourcoach.cli.options.plan_options import temperature_c
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import json_text
from pourcoach.library.water_shelf import saved_water
from pourcoach.reports.trade.advice_page import advice_figures, advice_lines, rule_lines

EXAMPLE = "pourcoach advise --taste sour thin --time 2:10 --planned-time 3:10 --why"

# No brew is shorter, and "3" is meant for three minutes.
_SHORTEST_BREW_S = 20.0
_LONGEST_BREW_S = 3600.0
_WORSE = "worse"
_FAULTS = sorted(kind.value for kind in POUR_FAULTS | {FlagKind.SLOW_DRAIN})


def configure(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    add("--recording", metavar="FILE",
        help="the brew's recording, a file or a name: its pour and what was kept")  # fmt: skip
    add("--before", metavar="FILE", help="the recording of the brew before it")
    add("--taste", nargs="+", metavar="WORD", help="sour, bitter, drying, thin, heavy, flat, …")
    add("--time", type=clock_s, metavar="M:SS", help="when the bed had drained")
    add("--planned-time", type=clock_s, metavar="M:SS", help="when it should have")
    add("--fault", nargs="+", choices=_FAULTS, default=[], help="what went wrong in the pour")
    add("--tds", type=number, metavar="PCT", help="strength reading, percent dissolved solids")
    add("--tds-error", type=number, default=USUAL_STRENGTH_ERROR_PCT, metavar="PCT",
        help="its standard error (default %(default)g)")  # fmt: skip
    add("--dose", type=number, metavar="G", help="dry coffee, for the extraction")
    add("--beverage", type=number, metavar="G", help="coffee in the server, for the extraction")
    add("--water", type=number, metavar="G", help="water poured; a mass given for the other shows")
    add("--aim-strength", type=number, metavar="PCT", help="strength wanted (default 1.25)")
    add("--temperature", type=temperature_c, metavar="C", help="brewed at; 94 or 201F")
    add("--brew-water", metavar="NAME", help="brewed with this saved water")
    add("--changed", nargs="+", metavar="MOVE",
        help="what was changed before this brew: " + ", ".join(move.value for move in Move)
        + f", each also as half-… or double-…; or {NOTHING}")  # fmt: skip
    add("--tried", nargs="+", default=[], metavar="BREW",
        help="the brews before, oldest first, as in 'sour' 'finer: sour, worse'")  # fmt: skip
    add("--new-coffee", action="store_true", help="leave out what was changed before")
    add("--worse", action="store_true", help="this brew was worse than the one before")
    add("--rules", action="store_true", help="print the table of rules and leave")
    add("--json", action="store_true", help="print one JSON object")
    add("--why", action="store_true", help="say what the advice rests on")


def run(args: argparse.Namespace) -> int:
    if args.rules:
        print("\n".join(rule_lines()))
        return 0
    evidence = _evidence(args)
    advice = advise(evidence)
    if args.json:
        print(json_text(advice_figures(evidence, advice)))
    else:
        print("\n".join(advice_lines(evidence, advice, why=args.why)))
    return 0


def clock_s(text: str) -> float:
    """``3:10`` or ``190`` in seconds, as an argparse type."""
    minutes, colon, seconds = text.rpartition(":")
    try:
        value = read_number(seconds)
        if colon:
            value = 60.0 * int(minutes) + value if 0.0 <= value < 60.0 else 0.0
    except (UsageError, ValueError):
        value = 0.0
    if not _SHORTEST_BREW_S <= value < _LONGEST_BREW_S:
        raise argparse.ArgumentTypeError(f"{text!r} is no brew time; write 3:10 or 190")
    return value


def _evidence(args: argparse.Namespace) -> Evidence:
    evidence = Evidence()
    masses: tuple[float | None, float | None] = (None, None)
    if args.recording is not None:
        # Only now: judging a tape loads the whole fold, with numpy.
        from pourcoach.library.kept_evidence import evidence_of_recording, with_earlier_brews
        from pourcoach.library.kept_strength import masses_of
        from pourcoach.session.kept.tape import recording_called

        recording = recording_called(args.recording)
        evidence = evidence_of_recording(recording)
        if args.before is not None:
            before = evidence_of_recording(recording_called(args.before))
            evidence = replace(evidence, before=before)
        elif args.new_coffee:
            evidence = replace(evidence, changed=None)
        elif not args.tried:
            evidence = with_earlier_brews(evidence, recording)
        taped = masses_of(recording)
        water_g = taped.water_g
        masses = (taped.dose_g, None if water_g is None else water_g + taped.added_g)
    elif args.before is not None:
        raise UsageError("--before has nothing to come before", "give --recording as well")
    if args.tried:
        if args.before is not None:
            raise UsageError("--tried and --before both say what came before", "give one of them")
        evidence = replace(evidence, before=_tried(args.tried))
    return replace(evidence, **_given(args, evidence, *masses))


def _tried(brews: list[str]) -> Evidence:
    """Earlier brews as typed, the last of them, each with the one before it."""
    evidence: Evidence | None = None
    for text in brews:
        changes, colon, words = text.rpartition(":")
        if evidence is not None and not colon:
            raise UsageError(f"{text!r} does not say what was changed", "write 'finer: sour'")
        seen = [word.strip() for word in words.split(",")]
        evidence = Evidence(
            tastes=frozenset(taste(word) for word in seen if word not in ("", _WORSE)),
            changed=changes_in(changes.replace("+", ",").split(",")) if colon else None,
            worse=_WORSE in seen,
            before=evidence,
        )
    assert evidence is not None
    return evidence


def _given(
    args: argparse.Namespace, known: Evidence, dose_g: float | None, water_g: float | None
) -> dict[str, Any]:
    """What the options say: it outranks what the recording and the library do."""
    given: dict[str, Any] = {
        "brew_s": args.time,
        "planned_s": args.planned_time,
        "aim_strength_pct": args.aim_strength,
        "temperature_c": args.temperature,
    }
    if args.aim_strength is not None:
        refuse_strength(Measured(args.aim_strength))
    if args.taste is not None:
        given["tastes"] = frozenset(taste(word) for word in args.taste)
    if args.fault:
        given["faults"] = known.faults | {FlagKind(fault) for fault in args.fault}
    if args.changed is not None:
        given["changed"] = changes_in(args.changed)
    if args.worse:
        given["worse"] = True
    if args.brew_water is not None:
        given["water"] = judge_water(saved_water(args.brew_water), SCAA).overall
    if args.tds is not None:
        given |= _measured(args, dose_g, water_g)
    elif not (args.beverage is args.dose is args.water is None):
        raise UsageError("masses alone show no extraction", "give --tds as well")
    return {field: value for field, value in given.items() if value is not None}


def _measured(
    args: argparse.Namespace, dose_g: float | None, water_g: float | None
) -> dict[str, Measured]:
    """Strength and, with the masses, extraction; the recording's masses where none are given."""
    strength = Measured(args.tds, args.tds_error)
    refuse_strength(strength)
    dose_g = dose_g if args.dose is None else args.dose
    water_g = water_g if args.water is None else args.water
    if dose_g is None or args.beverage is None:
        return {"strength_pct": strength}
    found = work_out_extraction(
        MeasuredBrew(
            dose_g=Measured(dose_g, USUAL_DOSE_ERROR_G),
            strength_pct=strength,
            beverage_g=Measured(args.beverage, USUAL_MASS_ERROR_G),
            water_g=None if water_g is None else Measured(water_g, USUAL_MASS_ERROR_G),
        )
    )
    return {"strength_pct": strength, "extraction_pct": found.extraction_pct}
