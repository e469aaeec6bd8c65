"""``pourcoach taste``: sets up a blind comparison of two samples and works it out."""

import argparse
import asyncio
import secrets
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from pourcoach.cli.commands import texts
from pourcoach.cli.options.out_option import add_out_option, refuse_taken
from pourcoach.cli.options.whole_number import whole_number
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import json_text, printable
from pourcoach.reports.tasting_page import (
    result_figures,
    result_lines,
    tasting_lines,
)
from pourcoach.session.weighing.asker import Asker
from pourcoach.tasting.answers import (
    LARGEST_SEED,
    USUAL_QUALITY,
    Tasting,
    read_tasting,
    tasting_dict,
)
from pourcoach.tasting.method import Method
from pourcoach.tasting.result import difference_result
from pourcoach.text_file import content_of, read_json, write_atomically, write_text

COUNT = whole_number(0, 999_999_999)

EXAMPLE = "pourcoach taste new --test triangle --tasters 12 --a 'water 1' --b 'water 2'"
TEST_HELP = (
    "triangle: find the odd cup; paired: which is stronger; duo-trio: which is the reference"
)


def configure(parser: argparse.ArgumentParser) -> None:
    commands = parser.add_subparsers(dest="action", metavar="ACTION", required=True)

    def add(
        name: str, run: Callable[[argparse.Namespace], int], text: str, example: str
    ) -> argparse.ArgumentParser:
        command = commands.add_parser(
            name, help=text, **texts(text, f"pourcoach taste {name} {example}")
        )
        command.set_defaults(act=run)
        command.add_argument("--json", action="store_true", help="print one JSON object")
        return command

    new = add(
        "new",
        _new,
        "deals codes and orders, and prints a sheet for each taster",
        "--test triangle --tasters 12 --a 'even pour' --b 'uneven pour' --out cups.json",
    )
    _add_test(new)
    new.add_argument(
        "--tasters",
        type=COUNT,
        required=True,
        metavar="N",
        help="how many taste",
    )
    new.add_argument("--a", required=True, metavar="NAME", help="what one sample is")
    new.add_argument("--b", required=True, metavar="NAME", help="what the other is")
    new.add_argument(
        "--quality",
        default="",
        metavar="WORDS",
        help=f"what a paired comparison asks for, as 'more sour' (default: {USUAL_QUALITY})",
    )
    new.add_argument(
        "--expect",
        choices=["a", "b"],
        help="which sample a paired comparison is to show to have more of it, said beforehand "
        "(default: either, judged two-sided)",
    )
    new.add_argument(
        "--seed",
        type=whole_number(0, LARGEST_SEED),
        metavar="N",
        help="deal the same again (default: drawn and printed)",
    )
    add_out_option(new, "keep the tasting here, for 'taste answers'")

    answers = add(
        "answers",
        _answers,
        "asks for each taster's answer and works the result out",
        "cups.json",
    )
    answers.add_argument("file", type=Path, metavar="FILE", help="the tasting that was kept")
    _add_one_taster(answers)

    result = add(
        "result",
        _result,
        "works out what the answers show, and what they could have shown",
        "--test triangle --correct 10 --of 15",
    )
    _add_test(result)
    result.add_argument(
        "--correct",
        type=COUNT,
        required=True,
        metavar="K",
        help="how many answers were right",
    )
    result.add_argument(
        "--of",
        type=COUNT,
        required=True,
        metavar="N",
        help="how many answered",
    )
    result.add_argument(
        "--two-sided",
        action="store_true",
        help="of a paired comparison in which no answer was expected: K chose one of the samples",
    )
    _add_one_taster(result)


def run(args: argparse.Namespace) -> int:
    status: int = args.act(args)
    return status


def _add_test(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--test", choices=[method.value for method in Method], required=True, help=TEST_HELP
    )


def _add_one_taster(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--one-taster",
        action="store_true",
        help="all answers are repeats by one person: the result is said to hold for that one only",
    )


def _new(args: argparse.Namespace) -> int:
    refuse_taken(args, args.out)
    tasting = Tasting(
        Method(args.test),
        printable(args.a),
        printable(args.b),
        args.tasters,
        secrets.randbelow(LARGEST_SEED) if args.seed is None else args.seed,
        printable(args.quality),
        args.expect.upper() if args.expect else None,
    )
    written = json_text(tasting_dict(tasting))
    text = written if args.json else "\n".join(tasting_lines(tasting))
    if args.out is not None:
        write_text(args.out, f"{written}\n", over=args.force)
    print(text)
    return 0


def _result(args: argparse.Namespace) -> int:
    found = difference_result(Method(args.test), args.correct, args.of, two_sided=args.two_sided)
    if args.json:
        print(json_text(result_figures(found)))
    else:
        print("\n".join(result_lines(found, one_taster=args.one_taster)))
    return 0


def _answers(args: argparse.Namespace) -> int:
    from pourcoach.cli.console.terminal_asker import TerminalAsker

    with content_of(args.file):
        tasting = read_tasting(read_json(args.file, "the tasting"))
    asker = TerminalAsker(sys.stderr if args.json else sys.stdout)
    tasting = asyncio.run(_ask_all(tasting, asker, args.file))
    found = tasting.result()
    if found is None:
        raise UsageError("nobody has answered yet", "enter at least one answer")
    if args.json:
        print(json_text(result_figures(found)))
    else:
        print("\n" + "\n".join(result_lines(found, one_taster=args.one_taster)))
    return 0


async def _ask_all(tasting: Tasting, asker: Asker, file: Path) -> Tasting:
    """Ask for each answer that is missing, and keep each as it is given."""
    asker.say(f"{tasting.ask} Enter alone leaves a taster out.")
    for sheet in tasting.sheets:
        while sheet.taster not in tasting.answers:
            codes = ", ".join(sheet.codes)
            code = (await asker.ask(f"Taster {sheet.taster} chose ({codes}):")).strip()
            if not code:
                break
            if sheet.sample(code) is None:
                asker.say(f"{printable(code)} is none of this taster's codes.")
                continue
            tasting = replace(tasting, answers={**tasting.answers, sheet.taster: code})
            write_atomically(file, json_text(tasting_dict(tasting)) + "\n", folders=False)
    return tasting
