"""The command line's front door: finds the command, runs it, turns errors into one line."""

import io
import os
import sys
from collections.abc import Sequence

from pourcoach.cli.commands import (
    COMMANDS,
    OTHER_SPELLINGS,
    command_module,
    command_parser,
    front_parser,
)
from pourcoach.cli.console.terminal import PrintableStream, has_screen, say_error
from pourcoach.domain.errors import PourcoachError, UsageError, WorkError, reason

DONE, FAILED, WRONG_USE = 0, 1, 2


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
    parser = front_parser()
    # Only the front's own words: what follows the command is the command's to judge.
    arguments = parser.parse_args(argv[:1])
    if arguments.command is None:
        if not has_screen():
            parser.print_help()
            return DONE
        from pourcoach.cli.start import run

        return run()
    name: str = OTHER_SPELLINGS.get(arguments.command, arguments.command)
    if name not in COMMANDS:
        raise UsageError(f"there is no command {name!r}", "see 'pourcoach --help'")
    arguments = command_parser(name).parse_args(argv[1:])
    return command_module(name).run(arguments)
