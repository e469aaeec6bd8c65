"""One root for everything that can go wrong, so that the edge catches one thing.

An error says whose fault it is by its class, and in one line what is wrong and what to do.
"""


class PourcoachError(Exception):
    """The root. ``str(error)`` is one line for the person at the keyboard."""

    def __init__(self, what: str, remedy: str = "") -> None:
        self.what = what
        self.remedy = remedy
        super().__init__(f"{what}; {remedy}" if remedy else what)


class UsageError(PourcoachError):
    """What was asked cannot be asked: a wrong option, an impossible plan, a bad address."""


class WorkError(PourcoachError):
    """What was asked is fine, but the work failed: no scale, a broken file, a full disk."""
