"""The grid of cells, and telling what changed."""

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.style import Style

from pourcoach.tui.renderables.cells import Cells, Span

PLAIN = Style(color="#ffffff", bgcolor="#000000")
BOLD = Style(color="#ffffff", bgcolor="#000000", bold=True)

Writing = tuple[int, int, str, bool]
writings = st.lists(
    st.tuples(
        st.integers(-3, 9), st.integers(-1, 3), st.text("a█漢\u0301 ", max_size=6), st.booleans()
    ),
    max_size=8,
)


def written(texts: list[Writing]) -> Cells:
    cells = Cells(7, 3, PLAIN)
    for column, row, text, bold in texts:
        cells.put(column, row, text, BOLD if bold else PLAIN)
    return cells


def test_text_is_cut_at_the_edges() -> None:
    cells = Cells(5, 2, PLAIN)
    assert cells.put(-2, 0, "abcd", PLAIN) == 2
    assert cells.put(3, 1, "xyz", PLAIN) == 6
    cells.put(0, 7, "nowhere", PLAIN)
    assert cells.text() == "cd\n   xy"


def test_a_wide_character_takes_two_cells_or_none() -> None:
    cells = Cells(5, 1, PLAIN)
    assert cells.put(0, 0, "漢a漢b", PLAIN) == 6
    assert cells.text() == "漢a漢"
    assert cells.strip(0).cell_length == 5


def test_equal_styles_are_joined_in_a_strip() -> None:
    cells = Cells(6, 1, PLAIN)
    cells.put(2, 0, "ab", BOLD)
    assert [(s.text, s.style) for s in cells.strip(0)] == [
        ("  ", PLAIN),
        ("ab", BOLD),
        ("  ", PLAIN),
    ]


def test_changes_are_the_least_span_of_each_row() -> None:
    older, newer = written([(0, 0, "123.4", False)]), written([(0, 0, "123.9", False)])
    newer.put(1, 2, "x", BOLD)
    newer.put(4, 2, " ", BOLD)
    assert newer.changes(older) == [Span(0, 4, 5), Span(2, 1, 5)]
    assert newer.changes(newer) == []


@given(older=writings, newer=writings)
def test_what_changed_is_enough_to_come_from_one_to_the_other(
    older: list[Writing], newer: list[Writing]
) -> None:
    before, after = written(older), written(newer)
    spans = {span.row: span for span in after.changes(before)}
    for row in range(3):
        start, end = spans[row][1:] if row in spans else (0, 0)
        shown = [
            *before.strip(row).crop(0, start),
            *after.strip(row).crop(start, end),
            *before.strip(row).crop(end, 7),
        ]
        # A terminal blanks what is left of a wide character that is half overwritten, and so do
        # we: here only rows without any are compared.
        if "漢" not in before.text() + after.text():
            assert _spelt(shown) == _spelt(list(after.strip(row)))
        assert after.strip(row).cell_length == sum(cell_len(c) for c, _ in _spelt(shown)) == 7


def _spelt(segments: list) -> list[tuple[str, Style]]:  # type: ignore[type-arg]
    return [(c, segment.style) for segment in segments for c in segment.text]


def test_a_copy_is_written_to_alone() -> None:
    cells = Cells(4, 1, PLAIN)
    cells.put(0, 0, "ab", PLAIN)
    copied = cells.copy()
    copied.put(1, 0, "xy", BOLD)
    assert (cells.text(), copied.text()) == ("ab", "axy")


def test_two_grids_one_above_the_other_are_one() -> None:
    upper, lower = Cells(3, 1, PLAIN), Cells(3, 2, BOLD)
    upper.put(0, 0, "漢a", PLAIN)
    lower.put(0, 1, "xyz", BOLD)
    joined = upper.above(lower)
    assert (joined.width, joined.height, joined.text()) == (3, 3, "漢a\n\nxyz")
    assert [joined.strip(row).cell_length for row in range(3)] == [3, 3, 3]
    # Over half of a wide character, as in the grid it came from.
    joined.put(1, 0, "b", PLAIN)
    assert joined.strip(0).text == " ba"
