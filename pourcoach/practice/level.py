"""How much is asked of a student."""

from enum import Enum


class Level(Enum):
    """How wide the bands are: 15, 10 and 5 % of the flow by default, all others in proportion."""

    BEGINNER = "beginner"
    PRACTISED = "practised"
    EXPERT = "expert"

    @property
    def widens(self) -> float:
        """What a practised student's band is multiplied by."""
        return {Level.BEGINNER: 1.5, Level.PRACTISED: 1.0, Level.EXPERT: 0.5}[self]
