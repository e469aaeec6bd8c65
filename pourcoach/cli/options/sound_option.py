"""``--sound`` and ``--volume``: guidance by ear."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from pourcoach.cli.console.terminal import say_error
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.session.protocols import SoundControls
from pourcoach.session.settings import Settings, volume_percent
from pourcoach.sharing.seen import Board

# As they are written in an option and in the settings.
WORDS, PITCH, FLOW, SPEECH, OFF = "words", "pitch", "flow", "speech", "off"
CHOICES = (WORDS, PITCH, FLOW, SPEECH, OFF)


def add_sound_options(parser: argparse.ArgumentParser) -> None:
    """Give the parser the options of what is to be heard."""
    group = parser.add_argument_group("sound")
    group.add_argument(
        "--sound",
        metavar="WHAT",
        help="let it be heard as well: words (a short sound for each change of word), pitch (lower "
        "under the target and higher over it while you pour, not in training), flow (the pitch "
        "follows your own flow), speech (the word is spoken), or some of them, as words,pitch; off "
        "(default: the settings'). Key s mutes it, v goes round the volumes. 'pourcoach sounds' "
        "teaches them",
    )
    add_volume_option(group)


def add_volume_option(parser: argparse._ActionsContainer) -> None:
    """Give the parser, or a group of it, ``--volume``."""
    parser.add_argument(
        "--volume",
        metavar="PERCENT",
        help="of the sound, 0 to 100 (default: the settings', else 40)",
    )


@contextmanager
def sound_from(
    args: argparse.Namespace, settings: Settings, board: Board
) -> Iterator[SoundControls | None]:
    """Let the board's station be heard while the context lasts, where that is asked for; where
    there is no sound, one line on standard error says why.

    Raises UsageError for what cannot be heard.
    """
    said = args.sound if args.sound is not None else settings.sound
    wanted = [] if said is None else [part.strip() for part in said.split(",")]
    volume = volume_from(args, settings)
    for part in wanted:
        if part not in CHOICES:
            raise UsageError(f"there is no sound {part!r:.60}", "use " + ", ".join(CHOICES))
    if PITCH in wanted and FLOW in wanted:
        raise UsageError("the pitch cannot follow both target and flow", "leave one of them out")
    if not wanted or OFF in wanted:
        yield None
        return
    # Samples are worked out with numpy, a tenth of a second to import.
    from pourcoach.sound.sound import Sound
    from pourcoach.sound.voice import Pitch, Wanted

    pitch = Pitch.TARGET if PITCH in wanted else Pitch.FLOW if FLOW in wanted else None
    heard = Wanted(WORDS in wanted, pitch, SPEECH in wanted)
    with Sound(board, heard, volume, say_error) as sound:
        yield sound


def volume_from(args: argparse.Namespace, settings: Settings) -> float:
    """0 to 1. Raises UsageError for what is no volume."""
    percent = settings.volume if args.volume is None else volume_percent(read_number(args.volume))
    return percent / 100
