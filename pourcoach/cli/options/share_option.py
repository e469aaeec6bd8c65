"""``--share``, ``--station`` and ``--share-name``: what others may see of a brew."""

import argparse

from pourcoach.cli.console.terminal import say_error
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import printable
from pourcoach.session.beside import Beside
from pourcoach.sharing.room import PASSWORD_VARIABLE, Room

USUAL_STATION = "1"


def add_share_options(parser: argparse.ArgumentParser) -> None:
    """Give the parser the options of what is shared."""
    group = parser.add_argument_group("sharing")
    group.add_argument(
        "--share",
        metavar="ADDRESS",
        help="send this brew, or drill, and its recordings to a room on an MQTT broker, as "
        f"mqtts://HOST/ROOM (a password comes from {PASSWORD_VARIABLE}; default: nothing is sent)",
    )
    group.add_argument(
        "--station",
        metavar="NAME",
        help=f"what this station is called in the room (default {USUAL_STATION})",
    )
    add_name_option(group)


def add_name_option(parser: argparse._ActionsContainer) -> None:
    """Give the parser, or a group of it, ``--share-name``."""
    parser.add_argument(
        "--share-name",
        action="store_true",
        help="let others see who brews, in the room and on pages (default: names stay here)",
    )


def beside_from(args: argparse.Namespace, by: str | None) -> Beside:
    """What is to go on beside the brew. Raises UsageError for a wrong address or name."""
    room, station = shared_from(args)
    return Beside(station, room=room, person=by if args.share_name else None, say=say_error)


def shared_from(args: argparse.Namespace) -> tuple[Room | None, str]:
    """Where it is shared, None for nowhere, and what this station is called there. Raises
    UsageError for a wrong address or name."""
    room = None if args.share is None else Room.parse(args.share)
    if room is None and args.station is not None:
        raise UsageError("--station names a station of a room", "give --share ADDRESS too")
    station = USUAL_STATION if args.station is None else printable(args.station.strip())
    if not station:
        raise UsageError("the station has no name", "give --station NAME")
    return room, station
