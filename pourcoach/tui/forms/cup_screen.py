"""How a cup tasted, and what the bed looked like, typed in and kept with the brew."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType

from pourcoach import wall_clock
from pourcoach.coaching.flags.risk import BedLook
from pourcoach.domain.afterwards import (
    CUP_QUALITIES,
    USUAL_SCALE,
    Afterword,
    CupNote,
    Fact,
    FactKind,
    Remark,
    RemarkKind,
    check_cup_note,
    read_scale,
)
from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import LONGEST_REMARK, printable
from pourcoach.tui.forms.form import Field
from pourcoach.tui.forms.form_screen import FormScreen
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.page import Page
from pourcoach.tui.widgets.text_row import Keys
from pourcoach.wording.afterwards import afterword_sentence

Say = Callable[[Sequence[Afterword]], str | None]
"""Keeps words with a brew; a sentence where they are not on its recording yet. May raise
PourcoachError."""

PAGE: Page = (
    "Scores are on your own scale: say its ends, as 0-10 or 1-5. Leave out what you do not score."
    " Taste when the cup has cooled to 55-60 °C: hotter it hides its faults and may scald.",
    "",
    "The bed, in your words or as one of these, which the review knows: "
    + ", ".join(look.value for look in BedLook)
    + ".",
)


class CupScreen(FormScreen):
    """``say`` keeps what was typed with the brew that ``about`` names."""

    HEADING = "CUP NOTES"
    PAGE = PAGE
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "keep", "Keep", priority=True)]

    def __init__(self, about: str, say: Say, glyphs: Glyphs = FULL, *, coffee: str = "") -> None:
        fields = [Field(quality, quality.capitalize(), "a score") for quality in CUP_QUALITIES]
        super().__init__(
            (
                *fields,
                Field("scale", "Scale", "its ends, as 0-10", USUAL_SCALE),
                Field("bed", "Bed", "flat, crater, hole …"),
                Field("coffee", "Coffee", "which it was", coffee),
                Field("words", "Words", "as ripe plum"),
            ),
            glyphs,
        )
        self._about = about
        self._coffee = coffee
        self._say_words = say

    def keys(self) -> Keys:
        return (("f2", "Keep"),)

    def answer(self, given: Mapping[str, str], width: int, *, why: bool) -> list[str]:
        del width, why
        words = cup_words(given, self._coffee, "")
        if not words:
            return [self._about, "", "Type scores or words, then F2 keeps them with the brew."]
        return [self._about, "", *map(afterword_sentence, words), "", "F2 keeps it with the brew."]

    def action_keep(self) -> None:
        now = wall_clock.timestamp()
        try:
            words = cup_words(self.form.answers(), self._coffee, now)
        except PourcoachError as error:
            self.say_of(error)
            return
        if not words:
            self.say("There is nothing yet to keep.")
            return
        off_loop(self, partial(self._say_words, words), self._kept, self.say_of)

    def _kept(self, later: str | None) -> None:
        self.say("It is kept with the brew." if later is None else f"Kept: {later}")


def cup_words(given: Mapping[str, str], coffee: str, at: str) -> list[Afterword]:
    """What was typed, as it is kept; nothing for an empty form, nor for the ``coffee`` that is
    known already. Raises UsageError for what is no score or scale.
    """
    words: list[Afterword] = []
    scores = {quality: read_number(given[quality]) for quality in CUP_QUALITIES if quality in given}
    text = printable(given.get("words", ""), LONGEST_REMARK)
    if scores:
        least, most = read_scale(given.get("scale", USUAL_SCALE))
        words.append(check_cup_note(CupNote(at, least, most, **scores, text=text)))
    elif text:
        words.append(Remark(RemarkKind.NOTE, text, at))
    if "bed" in given:
        # The review knows some looks; any other words are kept as they are.
        words.append(Remark(RemarkKind.BED, printable(given["bed"], LONGEST_REMARK), at))
    if given.get("coffee", "") != coffee:
        words.append(Fact(FactKind.COFFEE, printable(given.get("coffee", "")), at))
    return words
