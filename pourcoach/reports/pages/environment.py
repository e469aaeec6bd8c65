"""The templates, with escaping on, and what all of them may use."""

import re
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

import pourcoach
from pourcoach.reports.charts.drawing import Drawing
from pourcoach.reports.charts.paint import DARK, LIGHT, chart_rules, colour_properties
from pourcoach.reports.charts.svg import svg_element


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("pourcoach.reports.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["tight"] = _tight
    environment.globals.update(
        version=pourcoach.__version__,
        light=Markup(colour_properties(LIGHT)),
        dark=Markup(colour_properties(DARK)),
        chart_rules=Markup(chart_rules()),
        chart=_chart,
    )
    return environment


def page(template: str, **values: Any) -> str:
    """A whole page. Every text among ``values`` is escaped where it is put in."""
    return _environment().get_template(template).render(**values)


def _tight(text: str) -> str:
    """With each figure and its unit on one line."""
    return re.sub(r"(?<=[\d±]) (?=\d|%|g\b|s\b)", "\N{NO-BREAK SPACE}", text)


def _chart(drawing: Drawing, name: str) -> Markup:
    """Its texts are escaped where the SVG is written."""
    return Markup(svg_element(drawing, name))
