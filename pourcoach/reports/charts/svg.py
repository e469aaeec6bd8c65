"""A drawing as SVG."""

from itertools import count
from xml.sax.saxutils import escape

from pourcoach.reports.charts.drawing import Anchor, Area, Box, Dot, Drawing, Label, Shape, Stroke
from pourcoach.reports.charts.paint import DARK, LIGHT, Paint, chart_rules, colour_properties

FONT = 'system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif'
"""Whatever the reader's own system sets its text in: nothing is fetched."""


def svg_element(drawing: Drawing, name: str) -> str:
    """For a page that has the classes of ``chart_rules``. ``name`` is unique on the page and made
    of letters, digits and hyphens.
    """
    return _element(drawing, name, "")


def svg_file(drawing: Drawing) -> str:
    """A file of its own, light or dark as its reader likes it."""
    style = (
        f"<style>\n:root {{ color-scheme: light dark; {colour_properties(LIGHT)} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ {colour_properties(DARK)} }} }}\n"
        f"text {{ font-family: {FONT}; }}\n{chart_rules()}\n</style>\n"
    )
    ground = Box(0, 0, drawing.width, drawing.height, Paint.GROUND)
    return _element(drawing, "chart", style + _markup(ground) + "\n") + "\n"


def _element(drawing: Drawing, name: str, begins: str) -> str:
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_number(drawing.width)} '
        f'{_number(drawing.height)}" role="img" aria-labelledby="{name}-title {name}-desc">',
        f'<title id="{name}-title">{escape(drawing.title)}</title>',
        f'<desc id="{name}-desc">{escape(drawing.description)}</desc>',
    ]
    if begins:
        parts.append(begins.rstrip("\n"))
    parts += map(_markup, drawing.shapes)
    return "\n".join([*parts, "</svg>"])


def _markup(shape: Shape) -> str:
    match shape:
        case Stroke(points, paint, width, dashes):
            dashed = f' stroke-dasharray="{" ".join(map(_number, dashes))}"' if dashes else ""
            return (
                f'<path class="s-{paint.value}" d="{_path(points)}" fill="none" '
                f'stroke-width="{_number(width)}" stroke-linejoin="round" '
                f'stroke-linecap="{"butt" if dashes else "round"}"{dashed}/>'
            )
        case Area(points, paint):
            return f'<path class="f-{paint.value}" d="{_path(points)}Z"/>'
        case Box(left, top, width, height, paint, radius):
            rounded = f' rx="{_number(radius)}"' if radius else ""
            return (
                f'<rect class="f-{paint.value}" x="{_number(left)}" y="{_number(top)}" '
                f'width="{_number(width)}" height="{_number(height)}"{rounded}/>'
            )
        case Dot((x, y), radius, paint):
            return (
                f'<circle class="f-{paint.value}" cx="{_number(x)}" cy="{_number(y)}" '
                f'r="{_number(radius)}"/>'
            )
        case Label((x, y), text, paint, size, anchor, bold):
            at = "" if anchor is Anchor.START else f' text-anchor="{anchor.value}"'
            weight = ' font-weight="700"' if bold else ""
            return (
                f'<text class="f-{paint.value}" x="{_number(x)}" y="{_number(y)}" '
                f'font-size="{_number(size)}"{at}{weight}>{escape(text)}</text>'
            )


def _path(points: tuple[tuple[float, float], ...]) -> str:
    """Relative steps in tenths of a pixel, which take half the room of whole places."""
    tenths = [(round(10 * x), round(10 * y)) for x, y in points]
    steps = []
    before = (0, 0)
    for number, (x, y) in zip(count(), tenths):
        letter = "M" if number == 0 else "l" if number == 1 else " "
        across, down = _number((x - before[0]) / 10), _number((y - before[1]) / 10)
        steps.append(f"{letter}{across}{'' if down.startswith('-') else ' '}{down}")
        before = (x, y)
    return "".join(steps)


def _number(value: float) -> str:
    """To a tenth, and no longer than it needs to be."""
    return f"{round(value, 1) + 0.0:g}"
