"""A plan of a bloom and two pours, and when its first water comes on a tape."""

from pourcoach.domain.plan import Plan, Stage

START_S = 4.0
PLAN = Plan(
    dose_g=20.0,
    ratio=16.0,
    water_g=320.0,
    bloom_s=35.0,
    finish_s=190.0,
    stages=(
        Stage("bloom", 0.0, 40.0, 5.0),
        Stage("pour 1", 35.0, 180.0, 5.0),
        Stage("pour 2", 85.0, 320.0, 5.0),
    ),
)
