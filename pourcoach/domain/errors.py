"""One root for everything that can go wrong, so that the edge catches one thing.

An error says whose fault it is by its class, and in one line what is wrong and what to do.
"""

import errno


class PourcoachError(Exception):
    """The root. ``str(error)`` is one line for the person at the keyboard."""

    def __init__(self, what: str, remedy: str = "") -> None:
        self.what = what
        self.remedy = remedy
        super().__init__(f"{what}; {remedy}" if remedy else what)


class UsageError(PourcoachError):
    """The request is invalid: a wrong option, an impossible plan, a bad address."""


class WorkError(PourcoachError):
    """The request is valid but the work failed: no scale, a broken file, a full disk."""


# What the system's codes mean to somebody who typed a name; for others its own words are given.
_REASONS = {
    errno.ENOENT: "there is no such file or folder",
    errno.EACCES: "it is not yours to use: see its permissions",
    errno.EPERM: "it is not yours to use: see its permissions",
    errno.EISDIR: "it is a folder",
    errno.ENOTDIR: "what should be its folder is a file",
    errno.ENOSPC: "the disk is full",
    errno.EROFS: "the disk is for reading only",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "its links lead in a circle",
}


def reason(error: OSError | ValueError) -> str:
    """Why a file could not be read or written, in words."""
    if isinstance(error, UnicodeDecodeError):
        return "it is not UTF-8 text"
    if isinstance(error, ValueError):
        # A name with a NUL in it, which no system takes.
        return "that is no name of a file"
    return _REASONS.get(error.errno or 0, error.strerror or str(error))
