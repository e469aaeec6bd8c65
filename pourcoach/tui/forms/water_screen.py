"""A brew water against published targets, as it is typed in."""

from collections.abc import Callable, Mapping
from functools import partial
from textwrap import wrap
from typing import ClassVar

from textual.binding import Binding, BindingType

from pourcoach.brewing.water.amounts import AMOUNTS
from pourcoach.brewing.water.targets import STANDARDS
from pourcoach.brewing.water.units import milligrams_per_litre
from pourcoach.brewing.water.water import Water, WaterSource
from pourcoach.brewing.water.water_verdict import judge_water
from pourcoach.domain.errors import PourcoachError, UsageError
from pourcoach.domain.number import read_number
from pourcoach.library.water_shelf import save_water, saved_waters
from pourcoach.reports.trade.water_page import water_lines
from pourcoach.tui.dialogs.dialogs import MOST_THINGS, AskScreen, PickScreen
from pourcoach.tui.dialogs.help_pages import WATER_PAGE
from pourcoach.tui.forms.form import Field
from pourcoach.tui.forms.form_screen import FormScreen
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.widgets.text_row import Keys

YES = ("yes", "y")
NO = ("no", "n")


class WaterScreen(FormScreen):
    """``use`` says which saved water a brew was made with; without it there is no brew."""

    HEADING = "BREW WATER"
    PAGE = WATER_PAGE
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "save", "Save", priority=True),
        Binding("f4", "saved", "Saved waters", priority=True),
    ]

    def __init__(self, glyphs: Glyphs = FULL, *, use: Callable[[str], None] | None = None) -> None:
        super().__init__(
            (
                Field("source", "Source", "mains, bottled, well …"),
                Field("tested", "Lab-tested", "yes or no: well, roof, surface"),
                Field("ph", "pH", "as 7.2"),
                Field("hardness", "Hardness", "total, as 8 dH"),
                Field("calcium", "Calcium", "as 50 mg/L, or 20 mg/L Ca"),
                Field("magnesium", "Magnesium", "as 15 mg/L"),
                Field("alkalinity", "Alkalinity", "as 40 mg/L, or 3 dH"),
                Field("sodium", "Sodium", "as 10 mg/L"),
                Field("sulphate", "Sulphate", "as 30 mg/L"),
                Field("chlorine", "Chlorine", "total, as 0.1 mg/L"),
                Field("tds", "Solids", "dissolved, as 150 mg/L"),
            ),
            glyphs,
        )
        self._use = use

    def keys(self) -> Keys:
        return (("f2", "Save"), ("f4", "Saved"))

    def answer(self, given: Mapping[str, str], width: int, *, why: bool) -> list[str]:
        if not given:
            return wrap(
                "Type what is known of the water; safety and targets are shown as you go.", width
            )
        water = water_from(given)
        standard = STANDARDS["scaa"]
        verdict = judge_water(water, standard)
        lines = water_lines(water, standard, verdict, why=why)
        if water.untested_private:
            # The rest may lie below the screen's edge.
            lines = [verdict.safety[0].upper(), "", *lines]
        return [part for line in lines for part in _fitted(line, width)]

    def action_save(self) -> None:
        try:
            water = water_from(self.form.answers())
        except PourcoachError as error:
            self.say(f"Not saved: {error}")
            return

        def save(name: str) -> str:
            save_water(name, water)
            if self._use is not None:
                self._use(name)
            return name

        def saved(name: str) -> None:
            brewed = "" if self._use is None else ", and named as this brew's"
            self.say(f"The water is saved as {name}{brewed}.")

        def answered(name: str | None) -> None:
            if name:
                off_loop(
                    self, partial(save, name), saved, lambda error: self.say(f"Not saved: {error}")
                )

        self.app.push_screen(AskScreen("Name of this water"), answered)

    def action_saved(self) -> None:
        off_loop(self, saved_waters, self._choose, self.say_of)

    def _choose(self, waters: Mapping[str, Water]) -> None:
        if not waters:
            self.say("No water is saved yet: F2 saves one.")
            return
        names = list(waters)[:MOST_THINGS]

        def answered(index: int | None) -> None:
            if index is None:
                return
            self.form.fill(answers_of(waters[names[index]]))
            if self._use is not None:
                use = partial(self._use, names[index])
                off_loop(self, use, lambda _: None, self.say_of)

        self.app.push_screen(PickScreen("Which water?", names), answered)


def water_from(given: Mapping[str, str]) -> Water:
    """The water as typed. Raises UsageError for what cannot be read or cannot be."""
    measured: dict[str, float] = {}
    for key, (name, units, noun) in AMOUNTS.items():
        if key in given:
            measured[name] = milligrams_per_litre(given[key], units, noun)
    return Water(
        source=_source(given.get("source")),
        tested=_tested(given.get("tested", "no")),
        ph=_ph(given.get("ph")),
        **measured,
    )


def answers_of(water: Water) -> dict[str, str]:
    """What would have to be typed for this water; ``water_from`` gives it back."""
    answers = {key: getattr(water, name) for key, (name, _, _) in AMOUNTS.items()}
    texts = {key: f"{value:g}" for key, value in answers.items() if value is not None}
    if water.ph is not None:
        texts["ph"] = f"{water.ph:g}"
    if water.source is not None:
        texts["source"] = water.source.value
    if water.tested:
        texts["tested"] = "yes"
    return texts


def _source(text: str | None) -> WaterSource | None:
    if text is None:
        return None
    try:
        return WaterSource(text.lower())
    except ValueError:
        raise UsageError(
            f"the source is {text!r}", "use " + ", ".join(source.value for source in WaterSource)
        ) from None


def _tested(text: str) -> bool:
    if text.lower() not in YES + NO:
        raise UsageError(f"whether it is tested is {text!r}", "say yes or no")
    return text.lower() in YES


def _ph(text: str | None) -> float | None:
    if text is None:
        return None
    try:
        return read_number(text)
    except UsageError as error:
        raise UsageError(f"the pH: {error.what}", error.remedy) from None


def _fitted(line: str, width: int) -> list[str]:
    """A line as it is, or wrapped with its own blanks kept where it is too long."""
    return wrap(line, width, subsequent_indent="    ", drop_whitespace=False) or [""]
