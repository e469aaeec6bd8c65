"""A scroll bar of colour alone: Textual's own needs glyphs that not every font has."""

from typing import ClassVar

from textual.scrollbar import ScrollBarRender


class PlainScrollBar(ScrollBarRender):
    """Its ends fall on whole cells."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "]
