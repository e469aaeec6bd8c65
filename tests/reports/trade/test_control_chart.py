import pytest

from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import MeasuredBrew, work_out_extraction
from pourcoach.reports.trade.control_chart import ASCII_MARKS, BLOCK_MARKS, control_chart

BREW = work_out_extraction(
    MeasuredBrew(
        Measured(20.0, 0.1), Measured(1.25, 0.02), beverage_g=Measured(320.0, 1.0)
    )  # 20 % exactly
)
EMPTY = """\
 1.80 │                 1:12              1:14              1:16
      │                  ·               · ·               · ·
 1.70 │              · ·               ·               · ·
      │            ·               · ·             · ·
 1.60 │          ·               ·               ·              · ·  1:18
      │        ·             · ·             · ·            · ·
 1.50 │    · ·             ·             · ·            · ·
      │  ·             · ·           · ·            · ·           ·  1:20
 1.40 │·             ·             ·            · ·           · ·
      │          · ·       ░░░░·░·░░░░░░░░░░·░·░          · ·
 1.30 │        ·           ·░·░░░░░░░░░░·░·░░░░░    · · ·        · · 1:22
      │    · ·         · · ░░░░░░░░░·░·░░░░░░░░░· ·          · ·
 1.20 │  ·           ·     ░░░░░·░·░░░░░░░░░·░·░       · · ·
      │·         · ·       ░·░·░░░░░░░░░·░·░░░░░   · ·
 1.10 │      · ·        · ·       · · ·      · · ·
      │  · ·        · ·       · ·        · ·
 1.00 │·        · ·       · ·      · · ·
      │     · ·       · ·      · ·
 0.90 │ · ·     · · ·    · · ·
 %TDS └─────────────────────────────────────────────────────────────
       14        16        18        20        22        24        26 % extraction
       ░ classic box  · equal ratio"""


def cell(lines: list[str], row: int, column: int) -> str:
    return lines[row][7 + column]


def test_the_empty_chart() -> None:
    assert control_chart(None) == EMPTY.splitlines()


def test_the_brew_stands_at_its_place_among_its_region() -> None:
    lines = control_chart(BREW)
    # 1.25 % is row 11 of 0.05 % steps from 1.80; 20 % is column 30 of 0.2 % steps from 14.
    assert cell(lines, 11, 30) == BLOCK_MARKS.brew
    assert sum(line.count(BLOCK_MARKS.ellipse) for line in lines[:19]) >= 2


def test_earlier_brews_stand_behind() -> None:
    lines = control_chart(BREW, [(16.0, 1.50), (20.0, 1.25)])
    assert cell(lines, 6, 10) == BLOCK_MARKS.earlier
    assert cell(lines, 11, 30) == BLOCK_MARKS.brew
    assert "○ earlier" in lines[-1]


@pytest.mark.parametrize(
    ("point", "row", "column"),
    [((30.0, 2.5), 0, 60), ((10.0, 0.2), 18, 0), ((20.0, 3.0), 0, 30)],
)
def test_a_point_off_the_chart_stands_at_its_edge_marked(
    point: tuple[float, float], row: int, column: int
) -> None:
    assert cell(control_chart(None, [point]), row, column) == BLOCK_MARKS.outside


def test_ascii_is_ascii() -> None:
    assert all(line.isascii() for line in control_chart(BREW, [(18, 1.2)], marks=ASCII_MARKS))


@pytest.mark.parametrize(("width", "height"), [(1, 1), (25, 7), (40, 12), (100, 30)])
def test_any_size(width: int, height: int) -> None:
    lines = control_chart(BREW, width=width, height=height)
    assert len(lines) == max(height, 7) + 3
    assert any(BLOCK_MARKS.brew in line for line in lines[:-1])
