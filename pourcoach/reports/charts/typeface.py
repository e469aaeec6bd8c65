"""The typeface that a label of a picture is written in.

Pillow brings one of its own, for the letters of ASCII: most pictures are the same everywhere.
Other scripts are written in what the system has; what no typeface has is shown as MISSING.
"""

from collections.abc import Iterator
from functools import cache
from unicodedata import category

from PIL import ImageFont

MISSING = "?"
# Files that common systems have, by name: Pillow knows their folders. First those of many scripts.
_OFTEN_THERE = (
    "DejaVuSans.ttf",
    "NotoSans-Regular.ttf",
    "NotoSansCJK-Regular.ttc",
    "NotoSansArabic-Regular.ttf",
    "Arial Unicode.ttf",
    "Arial.ttf",
    "segoeui.ttf",
    "YuGothM.ttc",
    "msyh.ttc",
    "malgun.ttf",
    "Nirmala.ttc",
    "LeelawUI.ttf",
)
# No typeface has a letter for a code that is not a character: it draws what stands for none.
_NO_CHARACTER = "\uffff"


def typeset(text: str, size: float) -> tuple[ImageFont.FreeTypeFont, str]:
    """A typeface that has all letters of ``text``, and the text; where there is none, the one that
    has the most, and MISSING for the others.
    """
    best = _own(size)
    lacking = _lacking(best, text)
    for face in _others(size) if lacking else ():
        found = _lacking(face, text)
        if len(found) < len(lacking):
            best, lacking = face, found
        if not lacking:
            break
    return best, "".join(MISSING if letter in lacking else letter for letter in text)


def _lacking(face: ImageFont.FreeTypeFont, text: str) -> set[str]:
    return {letter for letter in text if not _has(face, letter)}


def _has(face: ImageFont.FreeTypeFont, letter: str) -> bool:
    # Marks, blanks and signs of direction draw nothing of their own.
    return category(letter)[0] in "MZC" or _drawn(face, letter) != _drawn(face, _NO_CHARACTER)


@cache
def _drawn(face: ImageFont.FreeTypeFont, letter: str) -> bytes:
    return bytes(face.getmask(letter))


@cache
def _own(size: float) -> ImageFont.FreeTypeFont:
    face = ImageFont.load_default(size)
    assert isinstance(face, ImageFont.FreeTypeFont)
    return face


def _others(size: float) -> Iterator[ImageFont.FreeTypeFont]:
    for name in _OFTEN_THERE:
        face = _called(name, size)
        if face is not None:
            yield face


@cache
def _called(name: str, size: float) -> ImageFont.FreeTypeFont | None:
    try:
        return ImageFont.truetype(name, size)
    except OSError:
        return None
