"""What a newcomer reads: every command's and action's help, looked at as a whole."""

import argparse
import shlex
import subprocess
import sys

import pytest

from pourcoach.cli.commands import COMMANDS, whole_parser
from pourcoach.cli.completion import SHELLS
from pourcoach.cli.main import DONE, main


def parsers() -> dict[str, argparse.ArgumentParser]:
    """Every command and action by its name, as it is typed."""
    found = {}

    def look(parser: argparse.ArgumentParser) -> None:
        found[parser.prog] = parser
        for action in parser._actions:
            if isinstance(action, argparse._SubParsersAction):
                for below in action.choices.values():
                    look(below)

    look(whole_parser())
    del found["pourcoach"]
    return found


PARSERS = parsers()


def options(prog: str) -> list[argparse.Action]:
    """What can be typed after it, but for actions and ``--help``."""
    return [
        action
        for action in PARSERS[prog]._actions
        if action.help is not argparse.SUPPRESS
        and not isinstance(action, argparse._HelpAction | argparse._SubParsersAction)
    ]


@pytest.mark.parametrize("prog", PARSERS)
def test_the_example_can_be_typed_as_it_stands(prog: str) -> None:
    epilog = PARSERS[prog].epilog
    assert epilog is not None
    example = epilog.removeprefix("example: ").partition(" > ")[0]
    program, *arguments = shlex.split(example)
    assert program == "pourcoach"
    assert example.startswith(prog)
    whole_parser().parse_args(arguments)


def test_there_are_options_to_read() -> None:
    assert sum(len(options(prog)) for prog in PARSERS) > 400


@pytest.mark.parametrize("prog", PARSERS)
def test_every_option_is_explained_with_its_default(prog: str) -> None:
    for action in options(prog):
        assert action.help, action.dest
        if action.default not in (None, False, []):
            assert "default" in action.help, action.dest
        if not action.option_strings or action.nargs != 0:
            shown = action.metavar if action.metavar is not None else action.choices
            assert shown, f"{action.dest}: its value would be named after the variable"


@pytest.mark.parametrize("prog", PARSERS)
def test_one_word_for_one_thing(prog: str) -> None:
    """A recording is one, a result goes to --out, what was measured to --raw."""
    for action in options(prog):
        said = (action.help or "").replace("tape:FILE", "")
        for word in ("tape", "told", "tells"):
            assert word not in said.split(), action.dest
        assert not {"--keep", "--report", "--output"} & set(action.option_strings)


@pytest.mark.parametrize("prog", PARSERS)
def test_help_is_in_words_that_the_trade_knows(prog: str) -> None:
    page = PARSERS[prog].format_help()
    for word in ("house", "livelier", "calmer", "told", "tells"):
        assert word not in page.split()


@pytest.mark.parametrize("shell", SHELLS)
def test_a_shell_is_given_all_commands_and_no_former_spelling(
    shell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", shell]) == DONE
    script = capsys.readouterr().out
    assert all(name in script for name in COMMANDS)
    assert "--bloom-wait" in script or "bloom-wait" in script
    assert "--report" not in script


@pytest.mark.skipif(sys.platform == "win32", reason="there is no bash")
def test_bash_completes_a_command() -> None:
    typed = (
        'source /dev/stdin; COMP_WORDS=(pourcoach "$1"); COMP_CWORD=1; _shtab_pourcoach; '
        'echo "${COMPREPLY[@]}"'
    )
    script = subprocess.run(
        [sys.executable, "-m", "pourcoach", "completion", "bash"], capture_output=True, check=True
    ).stdout
    done = subprocess.run(
        ["bash", "-c", typed, "bash", "calib"], input=script, capture_output=True, check=True
    )
    assert done.stdout.strip() == b"calibrate"
