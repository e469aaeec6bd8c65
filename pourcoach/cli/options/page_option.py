"""``--page``: the same brew, or the same wall, in browsers."""

import argparse
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from pourcoach.cli.console.terminal import has_screen
from pourcoach.page.address import PageAddress
from pourcoach.sharing.seen import Board


def add_page_option(parser: argparse.ArgumentParser) -> None:
    """Give the parser ``--page``."""
    parser.add_argument(
        "--page",
        type=str,
        metavar="[HOST:]PORT",
        help="show it in browsers too, read-only: 8080 for this machine alone, 0.0.0.0:8080 for "
        "all in the network who have the address with its token (0 takes any free port)",
    )


@contextmanager
def page_from(
    args: argparse.Namespace, board: Board, *, names: bool = False, waits: bool = True
) -> Iterator[None]:
    """Serve the page while the context lasts, where one is asked for; its address goes to standard
    error, with a QR code where other machines can open it. ``names``: whether people's may be seen.
    ``waits`` for Enter where a screen would cover an address that nobody can know.

    Raises UsageError for a wrong address, WorkError where the port cannot be had.
    """
    if args.page is None:
        yield
        return
    address = PageAddress.parse(args.page)
    # The web server: a fifth of a second to import.
    from pourcoach.page.server import PageServer

    with PageServer(board, address, names=names) as server:
        server.wait_until_up()
        _say(server.url, code=not address.on_loopback)
        known = address.on_loopback and address.port
        if waits and not known and has_screen() and not args.plain:
            print("Press Enter to begin.", file=sys.stderr, flush=True)
            with suppress(EOFError):
                input()
        yield


def _say(url: str, *, code: bool) -> None:
    if code and sys.stderr.isatty():
        from pourcoach.page.qr_code import qr_lines

        print("\n".join(qr_lines(url)), file=sys.stderr)
    print(f"The page is {url}", file=sys.stderr, flush=True)
