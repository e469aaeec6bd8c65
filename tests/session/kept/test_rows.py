"""A kept brew as a row of a list."""

from pourcoach.session.kept.rows import NOTHING, row
from tests.tui.sessions.made_shelf import brew


def test_what_is_known_stands_in_its_cell() -> None:
    cells = row(brew(1, "Ada", coffee="Washed 7", tag_lines="exam", title="the even one"))
    assert cells[1:6] == ("Ada", "Washed 7", "NO FAULT", "12 of 12", "320 g")
    assert cells[-1] == "the even one #exam"


def test_what_is_not_known_is_left_open() -> None:
    made = brew(2, None, marks_of=0, water_g=None, brew_s=None, headline=None)
    assert row(made)[1:8] == (NOTHING, NOTHING, "NOT JUDGED", NOTHING, NOTHING, NOTHING, NOTHING)
    assert row(made)[-1] == ""


def test_a_brew_whose_recording_is_gone_is_called_so_unless_it_was_judged() -> None:
    assert row(brew(3, missing=1, headline=None))[3] == "GONE"
    assert row(brew(3, missing=1, headline="STOP SOONER"))[3] == "STOP SOONER"
