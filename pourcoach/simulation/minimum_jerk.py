"""The shape of a reaching movement."""


def minimum_jerk(share: float) -> float:
    """How far a hand has got (0 to 1) after this share of the movement's time.

    The minimum-jerk curve, Flash and Hogan 1985 (from memory).
    """
    if share <= 0:
        return 0.0
    if share >= 1:
        return 1.0
    return share**3 * (10 + share * (6 * share - 15))
