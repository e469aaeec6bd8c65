"""A row of text gives way to what stands at its right edge."""

import pytest

from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.widgets.text_row import TextRow


@pytest.mark.parametrize(
    ("width", "shown"),
    [
        (70, "Put brewer, server, filter and coffee on the scale"),
        (60, "Put brewer, server, filter and coffee on"),
        (50, "Put brewer, server, filter and"),
        (30, "Put brewer,"),
    ],
)
def test_what_does_not_fit_is_left_out_word_by_word(width: int, shown: str) -> None:
    row = TextRow(FULL)
    row.show("NEXT", "Put brewer, server, filter and coffee on the scale", "0.0 g/s")
    assert row.paint(width, 1, DARK).text().split() == ["NEXT", *shown.split(), "0.0", "g/s"]
