from pourcoach.domain.plan import Plan, Stage
from pourcoach.reports.trade.plan_picture import picture

PLAN = Plan(
    dose_g=20.0,
    ratio=10.0,
    water_g=200.0,
    bloom_s=60.0,
    finish_s=120.0,
    stages=(Stage("bloom", 0.0, 100.0, 50.0), Stage("pour 1", 60.0, 200.0, 50.0)),
)


def test_blocks() -> None:
    assert picture(PLAN, width=13, height=2) == [
        "   200 │       ██████",
        "   100 │ ████████████",
        "       └─────────────",
        "        0:00  1:00  2:00",
    ]


def test_ascii() -> None:
    lines = picture(PLAN, width=13, height=2, ascii_only=True)
    assert lines == [
        "   200 |       ######",
        "   100 | ############",
        "       +-------------",
        "        0:00  1:00  2:00",
    ]
    assert all(line.isascii() for line in lines)
