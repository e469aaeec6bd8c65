"""A lesson's file: read, or refused with what is wrong in it."""

from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.practice.assignment import Mode
from pourcoach.session.classroom.lesson import USUAL_LESSON, Tasted, read_lesson
from pourcoach.session.classroom.station import Station
from pourcoach.session.classroom.summary import closing_lines, opening_lines
from pourcoach.session.classroom.work import Done
from pourcoach.session.practice.drills import find_drill
from pourcoach.tasting.method import Method
from pourcoach.wording.practice import WATER_CAUTION
from tests.tui.made_frames import make_frame


def test_the_lesson_that_ships() -> None:
    lesson = read_lesson(USUAL_LESSON)
    assert [place.name for place in lesson.places] == ["1", "2", "3"]
    assert [place.person for place in lesson.places] == ["Ada", "Ben", "Cleo"]
    assert [place.plan is None for place in lesson.places] == [True, True, False]
    assert lesson.plan["dose_g"] == 20
    assert ([drill.name for drill in lesson.drills], lesson.mode) == (["landing"], Mode.TRAIN)
    assert lesson.taste == Tasted(Method.TRIANGLE, "the evenest pour", "the least even pour")


@pytest.mark.parametrize(
    ("said", "where"),
    [
        ("known weight", "opening"),
        ("water named", "opening"),
        ("away from electronics", "opening"),
        ("Allergies, caffeine and heat", "opening"),
        ("coffee oils", "closing"),
        ("Paper filters dry and covered", "closing"),
        ("Plastic and rubber away from heat and sun", "closing"),
        ("descaled by their maker's book", "closing"),
    ],
)
def test_the_usual_lists_have_what_common_practice_asks_for(said: str, where: str) -> None:
    assert any(said in item for item in getattr(read_lesson(USUAL_LESSON), where))


def test_what_is_left_out_is_as_usual_and_what_is_emptied_is_empty() -> None:
    usual = read_lesson(USUAL_LESSON)
    short = read_lesson('[lists]\nopening = []\n[[station]]\nname = "1"\nscale = "sim:steady"\n')
    assert (short.opening, short.closing) == ((), usual.closing)
    assert (short.drills, short.taste, short.plan) == ((), None, {})


@pytest.mark.parametrize(
    "text",
    [
        "[",
        "titel = 'x'",
        "title = 3",
        "title = ''",
        "station = 3",
        "station = ['1']",
        "[[station]]\nname = '1'",
        "[[station]]\nscale = 'sim:steady'",
        "[[station]]\nname = '1'\nscale = 'sim:steady'\ncolour = 'red'",
        "[[station]]\nname = '1'\nscale = 'sim:steady'\nplan = {dose_g = -3}",
        "[plan]\ndoze_g = 3",
        "[practise]\ndrills = 'bloom'",
        "[practise]\ndrills = ['nothing']",
        "[practise]\nmode = 'easy'",
        "[[station]]\nname = '1'\nscale = 'sim:steady'\ndrill = 'nothing'",
        "[taste]\ntest = 'guess'\na = 'x'\nb = 'y'",
        "[taste]\ntest = 'triangle'\na = 'x'",
        "[lists]\nmiddle = []",
        "[lists]\nopening = [3]",
        "[lists]\nopening = " + str(["x"] * 51),
    ],
)
def test_what_is_no_lesson_is_refused(text: str) -> None:
    with pytest.raises(UsageError):
        read_lesson(text)


def test_lists_are_reported_with_boxes_to_tick_and_the_tasting_as_a_command() -> None:
    lesson = read_lesson(
        "title = 'Bloom'\n[practise]\ndrills = ['bloom']\n[lists]\nopening = ['Scales']\n"
        "closing = ['Brewers']\n[taste]\ntest = 'paired'\na = \"Ben's\"\nb = 'y'\n"
    )
    assert opening_lines(lesson) == [
        "Bloom",
        "",
        "Before we begin:",
        "  [ ] Scales",
        "",
        "To practise; d on the wall turns a station to it:",
        f"  [ ] Bloom: {find_drill('bloom').needs}",
        WATER_CAUTION,
    ]
    # Tasted first: afterwards the brewers are washed.
    assert closing_lines(lesson, []) == [
        "To taste, blind: Ben's against y, a paired test.",
        """  pourcoach taste new --test paired --tasters 1 --a 'Ben'"'"'s' --b y --out cups.json""",
        "",
        "Afterwards:",
        "  [ ] Brewers",
    ]


def test_a_page_is_offered_for_each_who_has_done_anything(tmp_path: Path) -> None:
    def station(name: str, person: str | None, *, brewed: bool) -> Station:
        made = Station(name, [], person=person)
        if brewed:
            made.done.append(Done(tmp_path / "brew.jsonl", make_frame()))
        return made

    lesson = read_lesson("[lists]\nclosing = []\n")
    stations = [
        station("1", "Ada O'Hara", brewed=True),
        station("2", "Ada O'Hara", brewed=True),
        station("3", "Ben", brewed=False),
        station("4", None, brewed=True),
    ]
    assert closing_lines(lesson, stations) == [
        "To hand out, a page for each and one for the class:",
        """  pourcoach report --by 'Ada O'"'"'Hara' --out ada-o-hara.html""",
        "  pourcoach report --class --out class.html",
        "",
    ]
