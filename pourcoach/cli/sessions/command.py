"""``pourcoach sessions``: lists, searches, shows, imports, exports and erases what is kept."""

import argparse

from pourcoach.cli.commands import texts
from pourcoach.cli.options.rubric_option import add_rubric_option
from pourcoach.cli.options.settings_option import add_settings_option
from pourcoach.cli.sessions import changing, looking, moving
from pourcoach.cli.sessions.action import Action

EXAMPLE = "pourcoach sessions list --by Ada --finding bloom-short"

_ACTIONS: tuple[Action, ...] = (*looking.ACTIONS, *changing.ACTIONS, *moving.ACTIONS)


def configure(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    for action in _ACTIONS:
        command = actions.add_parser(
            action.name,
            help=action.line,
            **texts(action.line, f"pourcoach sessions {action.name} {action.example}".strip()),
        )
        action.configure(command)
        if action.judges:
            add_rubric_option(command)
        add_settings_option(command)
        command.set_defaults(act=action.run)


def run(args: argparse.Namespace) -> int:
    status: int = args.act(args)
    return status
