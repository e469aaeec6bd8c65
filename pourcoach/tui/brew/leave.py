"""How the brewer leaves the brew screen."""

from enum import Enum


class Leave(Enum):
    """How the brewer left the screen."""

    BACK = "back"
    REVIEW = "review"
    QUIT = "quit"
    AGAIN = "again"
    """A start that went wrong: begin again."""
