"""A chart before it is SVG or PNG: shapes on a sheet, in pixels from its upper left corner."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias

from pourcoach.reports.charts.paint import Paint

Point: TypeAlias = tuple[float, float]


class Anchor(Enum):
    """Which part of a text stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points."""

    points: tuple[Point, ...]
    paint: Paint
    width: float = 1.0
    dashes: tuple[float, ...] = ()
    """Drawn and left out by turns; empty for an unbroken line."""


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon."""

    points: tuple[Point, ...]
    paint: Paint


@dataclass(frozen=True, slots=True)
class Box:
    """A filled rectangle with rounded corners."""

    left: float
    top: float
    width: float
    height: float
    paint: Paint
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Dot:
    """A filled circle."""

    at: Point
    radius: float
    paint: Paint


@dataclass(frozen=True, slots=True)
class Label:
    """A text; its base line is at ``at``."""

    at: Point
    text: str
    paint: Paint
    size: float = 12.0
    anchor: Anchor = Anchor.START
    bold: bool = False


Shape: TypeAlias = Stroke | Area | Box | Dot | Label


@dataclass(slots=True)
class Drawing:
    """Shapes in the order in which they are laid over each other."""

    width: float
    height: float
    title: str
    """What the chart shows, in a few words."""
    description: str
    """What is to be seen in it, for who cannot see it."""
    shapes: list[Shape] = field(default_factory=list)

    def stroke(
        self,
        points: Sequence[Point],
        paint: Paint,
        width: float = 1.0,
        dashes: tuple[float, ...] = (),
    ) -> None:
        """Add a line; nothing where there are fewer than two points."""
        if len(points) > 1:
            self.shapes.append(Stroke(tuple(points), paint, width, dashes))

    def area(self, points: Sequence[Point], paint: Paint) -> None:
        """Add a polygon; nothing where there are fewer than three points."""
        if len(points) > 2:
            self.shapes.append(Area(tuple(points), paint))

    def box(
        self, left: float, top: float, width: float, height: float, paint: Paint, radius: float = 0
    ) -> None:
        """Add a rectangle."""
        self.shapes.append(Box(left, top, width, height, paint, radius))

    def dot(self, at: Point, radius: float, paint: Paint) -> None:
        """Add a circle."""
        self.shapes.append(Dot(at, radius, paint))

    def label(
        self,
        at: Point,
        text: str,
        paint: Paint,
        size: float = 12.0,
        anchor: Anchor = Anchor.START,
        *,
        bold: bool = False,
    ) -> None:
        """Add a text."""
        self.shapes.append(Label(at, text, paint, size, anchor, bold))
