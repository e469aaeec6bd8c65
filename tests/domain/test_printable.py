"""Text from outside in lines and in JSON."""

import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.printable import json_text, printable, printable_lines

anything = st.text(st.characters(codec=None), max_size=120)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Löwe 20 g ☕", "Löwe 20 g ☕"),
        ("\x1b]0;title\x07", r"\x1b]0;title\x07"),
        ("\x9b2J", r"\x9b2J"),
        ("one\ntwo", r"one\ntwo"),
        ("a\u202eb\u2066c", r"a\u202eb\u2066c"),
        ("a\tb\u00a0c", "a b c"),
        ("\udcff", r"\udcff"),
        ("\u0645\u06cc\u200c\u062e", "\u0645\u06cc\u200c\u062e"),
        ("x" * 100, "x" * 79 + "…"),
        ("\x1b" * 79, r"\x1b" * 19 + r"\x1" + "…"),
    ],
)
def test_what_a_terminal_obeys_is_shown_by_its_number(text: str, shown: str) -> None:
    assert printable(text) == shown


@given(anything)
def test_printable_is_one_line_bounded_and_stays_as_it_is(text: str) -> None:
    shown = printable(text)
    assert len(shown) <= 80
    assert printable(shown) == shown
    obeyed = {letter for letter in shown if unicodedata.category(letter)[0] in "CZ"}
    assert obeyed <= {" ", "\u200c", "\u200d"}


@given(anything)
def test_lines_keep_their_ends_and_nothing_else_that_is_obeyed(text: str) -> None:
    shown = printable_lines(text)
    assert shown.count("\n") == text.count("\n")
    assert printable_lines(shown) == shown


@given(anything)
def test_json_keeps_the_value_and_holds_nothing_that_is_obeyed(text: str) -> None:
    line = json_text({"name": text})
    assert line.isprintable()
    assert json.loads(line) == {"name": text}


def test_json_is_valid_where_a_figure_is_none() -> None:
    assert json_text([float("inf"), {"x": (1.0, float("nan"))}]) == '[null, {"x": [1.0, null]}]'
