"""Letters of any script on a picture: in a typeface that has them, or seen to be missing."""

from io import BytesIO

import pytest
from PIL import Image

from pourcoach.reports.charts import typeface
from pourcoach.reports.charts.drawing import Drawing
from pourcoach.reports.charts.paint import Paint
from pourcoach.reports.charts.png import NOTE_PX, SCALE, png_file
from pourcoach.reports.charts.typeface import typeset

GREEK = "Άνθιση"


@pytest.fixture
def latin_only(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typeface, "_OFTEN_THERE", ("no such typeface.ttf",))


def picture(text: str) -> Image.Image:
    drawing = Drawing(300.0, 60.0, "t", "d")
    drawing.label((10.0, 30.0), text, Paint.DIM, 14.0)
    return Image.open(BytesIO(png_file(drawing)))


def test_latin_letters_are_written_in_the_typeface_that_is_always_there() -> None:
    face, text = typeset("bloom 0:35, 40.2 g (A+B)", 20.0)
    assert face.getname()[0] == "Aileron"
    assert text == "bloom 0:35, 40.2 g (A+B)"


@pytest.mark.usefixtures("latin_only")
def test_what_no_typeface_has_is_seen_and_said() -> None:
    assert typeset(f"bloom {GREEK}", 20.0)[1] == "bloom " + "?" * len(GREEK)
    assert picture("bloom").height == 60 * SCALE
    assert picture(GREEK).height == (60 + NOTE_PX) * SCALE


def test_another_typeface_has_what_the_first_one_lacks(monkeypatch: pytest.MonkeyPatch) -> None:
    lacks = {"one": set("xyz"), "two": set("y"), "three": set()}
    monkeypatch.setattr(typeface, "_own", lambda _: "one")
    monkeypatch.setattr(typeface, "_OFTEN_THERE", ("two", "none", "three"))
    monkeypatch.setattr(typeface, "_called", lambda name, _: None if name == "none" else name)
    monkeypatch.setattr(typeface, "_has", lambda face, letter: letter not in lacks[face])
    assert typeset("abc", 1.0) == ("one", "abc")
    assert typeset("abx", 1.0) == ("two", "abx")
    assert typeset("aby", 1.0) == ("three", "aby")
    lacks["three"] = set("y")
    assert typeset("xy", 1.0) == ("two", "x?")


@pytest.mark.usefixtures("latin_only")
def test_signs_that_draw_nothing_are_not_missing() -> None:
    text = "a\u0301 \u202eb\u200d"
    assert typeset(text, 20.0)[1] == text
