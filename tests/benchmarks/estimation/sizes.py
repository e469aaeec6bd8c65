"""How much is run: in full, or a quick look."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Sizes:
    """Seeds for tuning and for reporting never meet."""

    tuning: range
    reporting: range
    rival_tuning: int
    """Of the tuning seeds, those on which the slow rival is tuned."""
    edges: range
    rest_hours: float
    even: range
    brews: range
    rates_hz: tuple[float, ...] = (10.0, 20.0, 40.0, 80.0)
    noises_g: tuple[float, ...] = (0.03, 0.05, 0.15)


FULL = Sizes(
    tuning=range(1000, 1120),
    reporting=range(520_000, 520_032),
    rival_tuning=8,
    edges=range(530_000, 530_200),
    rest_hours=6.0,
    even=range(540_000, 540_060),
    brews=range(560_000, 560_010),
)
QUICK = Sizes(
    tuning=range(1000, 1060),
    reporting=range(520_000, 520_010),
    rival_tuning=2,
    edges=range(530_000, 530_020),
    rest_hours=0.3,
    even=range(540_000, 540_008),
    brews=range(560_000, 560_002),
    rates_hz=(10.0, 80.0),
    noises_g=(0.05,),
)
