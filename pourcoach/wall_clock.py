"""The time of day, for what is dated. Nothing that is measured goes by it."""

from datetime import datetime


def now() -> datetime:
    """With the offset from UTC that holds here."""
    return datetime.now().astimezone()


def timestamp() -> str:
    """The same as text: ISO 8601, to the second."""
    return now().isoformat(timespec="seconds")
