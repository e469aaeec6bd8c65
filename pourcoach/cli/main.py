"""The command line's front door: finds the command, runs it, turns errors into one line.

Commands live one a file and are imported only when called, so that ``--help`` stays quick.
"""

import argparse
import importlib
import io
import os
import sys
from collections.abc import Sequence
from typing import Protocol, cast

import pourcoach
from pourcoach.cli.parser import Parser
from pourcoach.cli.terminal import PrintableStream, has_screen, say_error
from pourcoach.domain.errors import PourcoachError, UsageError, WorkError, reason

DONE, FAILED, WRONG_USE = 0, 1, 2

# name -> (module under pourcoach.cli, line of help). A command is listed only once it works.
COMMANDS: dict[str, tuple[str, str]] = {
    "plan": ("plan", "works out a pour plan and prints it"),
    "brew": ("brew", "guides a live brew on a scale and keeps its recording"),
    "replay": ("replay", "plays a recording in the brew screen"),
    "analyse": ("analyse", "prints all figures of recordings"),
    "simulate": ("simulate", "writes a simulated recording with its truth"),
    "demo": ("demo", "shows a whole coached brew with no scale attached"),
    "scales": ("scales", "finds scales and shows live readings"),
    "calibrate": ("calibrate", "turns a scale's raw counts into grams by known weights"),
    "check": ("check", "tests whether a scale is good enough to judge a pour"),
    "strength": ("strength", "works out strength and extraction of a cup"),
    "water": ("water", "judges, blends, dilutes and doses brew water"),
    "temperature": ("temperature", "tells what temperature can be had, here and at the bed"),
    "advise": ("advise", "says what to change for the next brew, one thing at a time"),
}
OTHER_SPELLINGS = {"analyze": "analyse"}


class Command(Protocol):
    """What each command's module is."""

    EXAMPLE: str

    def configure(self, parser: argparse.ArgumentParser) -> None:
        """Give the parser the command's options."""

    def run(self, args: argparse.Namespace) -> int:
        """Do it; the exit status. Raises PourcoachError."""


def entry() -> None:
    """The console script."""
    if sys.stdout is None:  # closed by who started us (>&-)
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 (open until the end)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal without some sign, such as ±, gets a question mark and no traceback.
            stream.reconfigure(errors="replace")
    sys.stdout, sys.stderr = PrintableStream.around(sys.stdout), PrintableStream.around(sys.stderr)
    sys.exit(main(sys.argv[1:]))


def main(argv: Sequence[str]) -> int:
    """Run one command; the exit status: 0 done, 1 the work failed, 2 wrong use."""
    try:
        status = _run(argv)
        sys.stdout.flush()
        return status
    except UsageError as error:
        say_error(error)
        return WRONG_USE
    except PourcoachError as error:
        say_error(error)
        return FAILED
    except BrokenPipeError:
        # The reader of our output went away (a pager, head): nothing more to say to it.
        _give_up_output()
        return FAILED
    except OSError as error:
        # What is opened by name should have words of its own; without a name it is the output, on
        # a full disk.
        if error.filename is not None:
            say_error(WorkError(f"cannot use {error.filename}: {reason(error)}"))
            return FAILED
        say_error(WorkError(f"the output cannot be written: {reason(error)}"))
        _give_up_output()
        return FAILED
    except KeyboardInterrupt:
        return FAILED


def _give_up_output() -> None:
    """Let what is still held for standard output go nowhere, or leaving would fail on it again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def _run(argv: Sequence[str]) -> int:
    parser = _front_parser()
    # Only the front's own words: what follows the command is the command's to judge.
    arguments = parser.parse_args(argv[:1])
    if arguments.command is None:
        if not has_screen():
            parser.print_help()
            return DONE
        from pourcoach.cli.start import run

        return run()
    name = OTHER_SPELLINGS.get(arguments.command, arguments.command)
    if name not in COMMANDS:
        raise UsageError(f"there is no command {name!r}", "see 'pourcoach --help'")
    module_name, line = COMMANDS[name]
    module = cast("Command", importlib.import_module(f"pourcoach.cli.{module_name}"))
    command = Parser(
        prog=f"pourcoach {name}",
        description=line,
        epilog=f"example: {module.EXAMPLE}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    module.configure(command)
    return module.run(command.parse_args(argv[1:]))


def _front_parser() -> argparse.ArgumentParser:
    width = max((len(name) for name in COMMANDS), default=0)
    listing = "\n".join(f"  {name:<{width}}  {line}" for name, (_, line) in COMMANDS.items())
    parser = Parser(
        prog="pourcoach",
        description=pourcoach.__doc__,
        epilog=f"commands:\n{listing}\n\n'pourcoach COMMAND --help' tells more of each.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        usage="pourcoach [-h] [--version] COMMAND …",
    )
    parser.add_argument("--version", action="version", version=f"pourcoach {pourcoach.__version__}")
    parser.add_argument("command", nargs="?", metavar="COMMAND", help=argparse.SUPPRESS)
    return parser
