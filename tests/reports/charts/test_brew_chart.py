"""The chart of a brew as shapes, SVG and PNG."""

from io import BytesIO
from math import hypot
from xml.etree import ElementTree as ET

import pytest
from PIL import Image

from pourcoach.reports.charts.axes import SECONDS, Axis, round_steps
from pourcoach.reports.charts.brew_chart import WIDTH, brew_chart
from pourcoach.reports.charts.drawing import Dot, Drawing, Label
from pourcoach.reports.charts.fault_marks import RADIUS, numbered
from pourcoach.reports.charts.paint import LIGHT, Paint
from pourcoach.reports.charts.png import SCALE, png_file
from pourcoach.reports.charts.simplify import TOLERANCE_PX, simplified
from pourcoach.reports.charts.svg import svg_file
from tests.reports.drawn_report import shipped_brew

SVG = "{http://www.w3.org/2000/svg}"


def test_every_finding_has_its_number_and_no_mark_covers_another() -> None:
    """Three of them lie at one moment."""
    brew = shipped_brew("hasty")
    drawing = brew_chart(brew)
    dots = [shape for shape in drawing.shapes if isinstance(shape, Dot)]
    numbers = [s.text for s in drawing.shapes if isinstance(s, Label) and s.paint is Paint.ON_FAULT]
    assert sorted(numbers) == [str(number) for number, _ in numbered(brew)] == ["1", "2", "3", "4"]
    for place, dot in enumerate(dots):
        for other in dots[:place]:
            assert hypot(dot.at[0] - other.at[0], dot.at[1] - other.at[1]) >= 2 * RADIUS


def test_nothing_lies_outside_the_sheet() -> None:
    for name in ("hasty", "knocks-and-lift"):
        drawing = brew_chart(shipped_brew(name))
        for shape in drawing.shapes:
            points = getattr(shape, "points", None) or [getattr(shape, "at", (1.0, 1.0))]
            assert all(0 <= x <= WIDTH and 0 <= y <= drawing.height for x, y in points)


def test_it_is_described_in_the_words_of_the_review() -> None:
    brew = shipped_brew("hasty")
    said = brew_chart(brew).description
    assert said.startswith(brew.result)
    assert "pour 1 began at 0:21 and reached 191.4 g, planned 180 g." in said
    assert "Short bloom, 0:21 pour 1" in said


def test_the_svg_stands_alone() -> None:
    """Well formed, no script, nothing fetched, no handler, light and dark."""
    text = svg_file(brew_chart(shipped_brew("hasty")))
    root = ET.fromstring(text)
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "title", "desc", "style", "path", "rect", "circle", "text",
    }  # fmt: skip
    for element in root.iter():
        assert not any(name.startswith(("on", "href")) for name in element.attrib)
    assert "url(" not in text
    assert "prefers-color-scheme: dark" in text
    assert len(text) < 30_000


def test_texts_in_a_drawing_are_only_text() -> None:
    drawing = Drawing(10, 10, "</title><script>", "a & b <i>")
    drawing.label((1, 1), '"><script>x</script>', Paint.INK)
    root = ET.fromstring(svg_file(drawing))
    assert root.findtext(f"{SVG}title") == "</title><script>"
    assert root.findtext(f"{SVG}text") == '"><script>x</script>'
    assert root.find(f".//{SVG}script") is None


def test_the_png_is_the_same_drawing() -> None:
    drawing = brew_chart(shipped_brew("hasty"))
    image = Image.open(BytesIO(png_file(drawing)))
    assert image.size == (round(drawing.width * SCALE), round(drawing.height * SCALE))
    colours = {colour for _, colour in image.convert("RGB").getcolors(1 << 24)}
    for paint in (Paint.GROUND, Paint.POURED, Paint.FAULT, Paint.BAND):
        value = LIGHT[paint]
        assert tuple(int(value[place : place + 2], 16) for place in (1, 3, 5)) in colours


@pytest.mark.parametrize("count", [2, 3, 50, 1000])
def test_a_line_loses_points_and_not_its_shape(count: int) -> None:
    points = [(x / 3, 30 * ((x * 7919) % 13 > 6) + 0.01 * (x % 2)) for x in range(count)]
    kept = simplified(points)
    assert (kept[0], kept[-1]) == (points[0], points[-1])
    assert set(kept) <= set(points)
    for x, y in points:
        after = next(n for n, point in enumerate(kept) if point[0] >= x)
        (x1, y1), (x2, y2) = kept[max(0, after - 1)], kept[after]
        length = hypot(x2 - x1, y2 - y1)
        off = 0.0 if not length else abs((x2 - x1) * (y1 - y) - (x1 - x) * (y2 - y1)) / length
        assert off <= TOLERANCE_PX + 1e-9


def test_a_straight_line_needs_two_points() -> None:
    assert simplified([(x, 2.0 * x) for x in range(100)]) == [(0, 0.0), (99, 198.0)]


@pytest.mark.parametrize(
    ("axis", "steps", "ticks"),
    [
        (Axis(0, 200, 0, 700), SECONDS, [0, 30, 60, 90, 120, 150, 180]),
        (Axis(0, 330, 260, 40), round_steps(330), [0, 50, 100, 150, 200, 250, 300]),
        (Axis(-1, 9, 0, 200), SECONDS, [0, 5]),
    ],
)
def test_numbers_stand_at_round_values(
    axis: Axis, steps: tuple[float, ...], ticks: list[float]
) -> None:
    assert axis.ticks(steps) == ticks


def test_what_is_beyond_an_axis_stands_at_its_end() -> None:
    axis = Axis(0, 100, 200, 0)
    assert [axis.px(value) for value in (-5, 50, 1000)] == [200, 100, 0]
