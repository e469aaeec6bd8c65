"""A drawing as PNG, painted with Pillow.

Pillow is one wheel that needs nothing of the system's and brings a typeface of its own: a picture
with Latin letters is the same on every machine. A renderer of SVG would take the system's fonts and
mostly libraries.
"""

from io import BytesIO
from itertools import pairwise
from math import hypot

from PIL import Image, ImageDraw, ImageOps

from pourcoach.reports.charts.drawing import Anchor, Area, Box, Dot, Drawing, Label, Shape, Stroke
from pourcoach.reports.charts.paint import LIGHT, Paint
from pourcoach.reports.charts.typeface import MISSING, typeset

SCALE = 2
"""Pixels for each of the drawing's: sharp on a screen of today and in a handout."""
_FINER = 3
"""Painted so many times larger and then made smaller, since Pillow's lines have hard edges."""

NOTE = f"{MISSING} stands for letters that no typeface on this machine has; the .svg has them."
NOTE_PX = 20.0
"""Room for it, below."""


def png_file(drawing: Drawing) -> bytes:
    """The light version, on white."""
    grown = SCALE * _FINER
    size = round(drawing.width * grown), round(drawing.height * grown)
    image = Image.new("RGB", size, LIGHT[Paint.GROUND])
    painter = ImageDraw.Draw(image)
    for shape in drawing.shapes:
        if not isinstance(shape, Label):
            _paint(painter, shape, grown)
    image = image.resize(
        (round(drawing.width * SCALE), round(drawing.height * SCALE)), Image.Resampling.LANCZOS
    )
    labels = [shape for shape in drawing.shapes if isinstance(shape, Label)]
    if any(typeset(label.text, label.size)[1] != label.text for label in labels):
        image = ImageOps.expand(image, (0, 0, 0, round(NOTE_PX * SCALE)), LIGHT[Paint.GROUND])
        labels.append(Label((NOTE_PX / 2, drawing.height + NOTE_PX / 2), NOTE, Paint.DIM))
    # Letters have soft edges of their own.
    painter = ImageDraw.Draw(image)
    for label in labels:
        _write(painter, label)
    file = BytesIO()
    image.save(file, "PNG", optimize=True)
    return file.getvalue()


def _paint(painter: ImageDraw.ImageDraw, shape: Shape, grown: float) -> None:
    match shape:
        case Stroke(points, paint, width, dashes):
            for piece in _dashed(points, dashes) if dashes else [points]:
                _line(painter, piece, LIGHT[paint], width, grown, round_ends=not dashes)
        case Area(points, paint):
            painter.polygon([(x * grown, y * grown) for x, y in points], fill=LIGHT[paint])
        case Box(left, top, width, height, paint, radius):
            corners = (left, top, left + max(width, 0.5), top + max(height, 0.5))
            painter.rounded_rectangle(
                [corner * grown for corner in corners], radius * grown, fill=LIGHT[paint]
            )
        case Dot((x, y), radius, paint):
            corners = (x - radius, y - radius, x + radius, y + radius)
            painter.ellipse([corner * grown for corner in corners], fill=LIGHT[paint])


def _line(
    painter: ImageDraw.ImageDraw,
    points: tuple[tuple[float, float], ...],
    colour: str,
    width: float,
    grown: float,
    *,
    round_ends: bool,
) -> None:
    placed = [(x * grown, y * grown) for x, y in points]
    painter.line(placed, fill=colour, width=max(1, round(width * grown)), joint="curve")
    if round_ends:
        radius = width * grown / 2
        for x, y in (placed[0], placed[-1]):
            painter.ellipse([x - radius, y - radius, x + radius, y + radius], fill=colour)


def _dashed(
    points: tuple[tuple[float, float], ...], dashes: tuple[float, ...]
) -> list[tuple[tuple[float, float], ...]]:
    """The pieces of a line that are drawn."""
    pieces: list[tuple[tuple[float, float], ...]] = []
    piece = [points[0]]
    turn, left = 0, dashes[0]
    for (x1, y1), (x2, y2) in pairwise(points):
        length = hypot(x2 - x1, y2 - y1)
        gone = 0.0
        while length - gone > left:
            gone += left
            share = gone / length
            at = (x1 + share * (x2 - x1), y1 + share * (y2 - y1))
            if turn % 2 == 0:
                pieces.append((*piece, at))
            piece = [at]
            turn += 1
            left = dashes[turn % len(dashes)]
        left -= length - gone
        piece.append((x2, y2))
    if turn % 2 == 0 and len(piece) > 1:
        pieces.append(tuple(piece))
    return pieces


def _write(painter: ImageDraw.ImageDraw, label: Label) -> None:
    font, text = typeset(label.text, label.size * SCALE)
    anchor = {Anchor.START: "ls", Anchor.MIDDLE: "ms", Anchor.END: "rs"}[label.anchor]
    at = (label.at[0] * SCALE, label.at[1] * SCALE)
    # The typeface has one weight: a thin outline makes it bold.
    outline = 0.4 * SCALE if label.bold else 0
    painter.text(at, text, LIGHT[label.paint], font, anchor, stroke_width=outline)
