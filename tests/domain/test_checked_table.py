"""Values of a table are checked as they are taken, and an error is one line that says where."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError

TEXT = """title = "  A lesson "
share = 1.5
count = 3
when = true
shares = [1, 0.5]
names = ["a", "b"]
[inner]
share = 2
[[pour]]
mass_g = 60
[[pour]]
mass_g = "much"
"""


@pytest.fixture
def table() -> CheckedTable:
    return CheckedTable.from_toml("the file", TEXT)


def test_values_are_handed_out_as_they_are(table: CheckedTable) -> None:
    assert table.text("title") == "  A lesson "
    assert table.words("title", longest=20) == "A lesson"
    assert table.words_list("names", longest=1, most=2) == ("a", "b")
    assert table.number("share", least=1.5, most=1.5) == 1.5
    assert table.numbers("shares", least=0.5, most=1.0) == (1.0, 0.5)
    assert table.whole("count", 3, 3) == 3
    assert table.flag("when") is True
    assert table.table("inner").number("share", least=0.0) == 2.0
    first, second = table.tables("pour", most=2)
    assert first.number("mass_g", least=0.0) == 60.0
    with pytest.raises(UsageError, match=r"line 12: pour\[2\]\.mass_g is not known here"):
        table.done()
    assert second.text("mass_g") == "much"
    table.done()


def test_what_is_not_there_is_as_usual(table: CheckedTable) -> None:
    assert table.text("none", "usual") == "usual"
    assert table.number("none", 2.0, least=0.0) == 2.0
    assert table.flag("none", usual=False) is False
    assert table.tables("none", most=2, least=0) == []
    assert not table.table("none", optional=True).all_keys()
    assert CheckedTable("the file", {"a": None}).number("a", 2.0, least=0.0) == 2.0
    assert table.maybe("none", CheckedTable.as_dict) is None


@pytest.mark.parametrize(
    ("ask", "error"),
    [
        (lambda table: table.text("none"), "none is missing; it cannot be left out"),
        (
            lambda table: table.number("share", least=0.0, most=1.0),
            "line 2: share is 1.5; make it a number from 0 to 1",
        ),
        (
            lambda table: table.number("share", least=2.0),
            "line 2: share is 1.5; make it a number of at least 2",
        ),
        (
            lambda table: table.whole("when", 0, 2),
            "line 4: when is True; make it a whole number from 0 to 2",
        ),
        (lambda table: table.flag("count"), "line 3: count is 3; make it true or false"),
        (
            lambda table: table.numbers("names", least=0.0, most=1.0),
            "line 6: names is 'a'; make it a number from 0 to 1",
        ),
        (
            lambda table: table.words_list("names", longest=1, most=1),
            "line 6: names is ['a', 'b']; make it a list of up to 1 texts",
        ),
        (
            lambda table: table.one_of("title", {"x": 1, "y": 2}),
            "line 1: title is '  A lesson '; use one of x, y",
        ),
        (lambda table: table.table("count"), "line 3: count is 3; make it a table"),
        (
            lambda table: table.table("inner").flag("share"),
            "line 8: inner.share is 2; make it true or false",
        ),
        (
            lambda table: table.tables("pour", most=2)[1].number("mass_g", least=5.0, most=9.0),
            "line 12: pour[2].mass_g is 'much'; make it a number from 5 to 9",
        ),
        (lambda table: table.tables("none", most=2), "none is missing; it cannot be left out"),
        (lambda table: table.tables("names", most=2), "names[1] is 'a'; make it a table"),
    ],
)
def test_an_error_says_where_and_what_to_do(
    table: CheckedTable, ask: Callable[[CheckedTable], Any], error: str
) -> None:
    with pytest.raises(UsageError) as caught:
        ask(table)
    assert str(caught.value) == f"the file, {error}"


def test_a_key_that_nobody_asked_for_is_named(table: CheckedTable) -> None:
    for key in ("title", "share", "count", "when", "shares", "names", "inner"):
        assert key in table
        table.raw(key)
    with pytest.raises(UsageError, match="line 9: pour is not known here; known are count, "):
        table.done()


def test_what_is_no_toml_is_named_by_its_line() -> None:
    with pytest.raises(UsageError, match=r"the file is not TOML: .*line 2.*; mend the file"):
        CheckedTable.from_toml("the file", "a = 1\nb = \nc = 2")


def test_a_bare_value_is_no_table() -> None:
    with pytest.raises(UsageError, match=r"the file is \[1\]; make it a table"):
        CheckedTable("the file", [1])
