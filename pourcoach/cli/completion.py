"""``pourcoach completion``: what a shell needs to complete commands, options and files with Tab."""

import argparse
from pathlib import Path

from pourcoach.cli.commands import whole_parser

EXAMPLE = "pourcoach completion bash > ~/.local/share/bash-completion/completions/pourcoach"

SHELLS = ("bash", "zsh", "fish", "tcsh", "powershell")


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shell", choices=SHELLS, metavar="SHELL", help=", ".join(SHELLS))


def run(args: argparse.Namespace) -> int:
    import shtab  # used by nothing else

    parser = whole_parser()
    for action in _actions(parser):
        if action.type is Path or action.metavar == "RECORDING":
            action.complete = shtab.FILE  # type: ignore[attr-defined]  # how shtab is configured
    print(shtab.complete(parser, args.shell))
    return 0


def _actions(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    """All of a parser's, and of those of its sub-commands."""
    found = []
    for action in parser._actions:
        found.append(action)
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                found += _actions(command)
    return found
