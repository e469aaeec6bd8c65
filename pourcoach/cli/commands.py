"""The commands, one module each, imported only when asked for, so that ``--help`` stays quick."""

import argparse
import importlib
from typing import Any, Protocol, cast

import pourcoach
from pourcoach.cli.parser import Parser

# name -> (module under pourcoach.cli, line of help). A command is listed only once it works.
COMMANDS: dict[str, tuple[str, str]] = {
    "plan": ("plan", "works out a pour plan and prints it"),
    "brew": ("brew", "guides a live brew on a scale and keeps its recording"),
    "replay": ("replay", "plays a recording in the brew screen"),
    "analyse": ("analyse", "prints all figures of recordings"),
    "report": ("report", "writes a page, a table or a chart of recordings"),
    "sessions": ("sessions.command", "lists, searches, shows, imports, exports and erases brews"),
    "simulate": ("simulate", "writes a simulated recording with its truth"),
    "practise": ("practise", "runs drills and tests that teach the hand to pour"),
    "demo": ("demo", "shows a whole coached brew with no scale attached"),
    "scales": ("scales", "lists the scales in sight, and shows the readings of one"),
    "calibrate": ("calibrate", "turns a scale's raw counts into grams by known weights"),
    "check": ("check", "tests whether a scale is good enough to judge a pour"),
    "strength": ("strength", "works out strength and extraction of a cup"),
    "water": ("water", "judges, blends, dilutes and doses brew water"),
    "temperature": ("temperature", "says what temperature can be had, here and at the bed"),
    "advise": ("advise", "says what to change for the next brew, one thing at a time"),
    "class": ("classroom", "shows many stations at once"),
    "sounds": ("sounds", "teaches what each word of a brew sounds like"),
    "taste": ("taste", "sets up a blind comparison of two cups and works it out"),
    "places": ("places", "says where settings, recordings and the library are"),
    "completion": ("completion", "prints what a shell needs to complete commands with Tab"),
}
OTHER_SPELLINGS = {"analyze": "analyse", "practice": "practise"}


class Command(Protocol):
    """What each command's module is."""

    EXAMPLE: str

    def configure(self, parser: argparse.ArgumentParser) -> None:
        """Give the parser the command's options."""

    def run(self, args: argparse.Namespace) -> int:
        """Do it; the exit status. Raises PourcoachError."""


def command_module(name: str) -> Command:
    """The module of a command in COMMANDS."""
    return cast("Command", importlib.import_module(f"pourcoach.cli.{COMMANDS[name][0]}"))


def command_parser(name: str) -> Parser:
    """The parser of a command in COMMANDS, with all its options."""
    module = command_module(name)
    parser = Parser(prog=f"pourcoach {name}", **texts(COMMANDS[name][1], module.EXAMPLE))
    module.configure(parser)
    return parser


def texts(line: str, example: str) -> dict[str, Any]:
    """What every command's and every action's parser is made with."""
    return {
        "description": line,
        "epilog": f"example: {example}",
        "formatter_class": argparse.RawDescriptionHelpFormatter,
    }


def front_parser() -> Parser:
    """The front door's own: it knows the commands by name alone."""
    width = max(map(len, COMMANDS))
    listing = "\n".join(f"  {name:<{width}}  {line}" for name, (_, line) in COMMANDS.items())
    parser = Parser(
        prog="pourcoach",
        description=pourcoach.__doc__,
        epilog=f"commands:\n{listing}\n\n'pourcoach COMMAND --help' shows each one's options.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        usage="pourcoach [-h] [--version] COMMAND …",
    )
    parser.add_argument("--version", action="version", version=f"pourcoach {pourcoach.__version__}")
    parser.add_argument("command", nargs="?", metavar="COMMAND", help=argparse.SUPPRESS)
    return parser


def whole_parser() -> Parser:
    """All commands in one parser, for what looks at all of them."""
    parser = Parser(prog="pourcoach", description=pourcoach.__doc__)
    parser.add_argument("--version", action="version", version=f"pourcoach {pourcoach.__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    for name, (_, line) in COMMANDS.items():
        module = command_module(name)
        module.configure(commands.add_parser(name, help=line, **texts(line, module.EXAMPLE)))
    return parser
