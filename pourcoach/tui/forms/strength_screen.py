"""Strength and extraction of a cup, on the control chart, as it is typed in."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType

from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import (
    USUAL_DOSE_ERROR_G,
    USUAL_MASS_ERROR_G,
    USUAL_STRENGTH_ERROR_PCT,
    ExtractionMethod,
    MeasuredBrew,
    work_out_extraction,
)
from pourcoach.domain.errors import PourcoachError, UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.units import Grams, Percent
from pourcoach.reports.trade.control_chart import ASCII_MARKS, BLOCK_MARKS, control_chart
from pourcoach.reports.trade.strength_page import strength_lines
from pourcoach.tui.dialogs.help_pages import STRENGTH_PAGE
from pourcoach.tui.forms.form import Field
from pourcoach.tui.forms.form_screen import FormScreen
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.widgets.text_row import Keys

CHART_ROWS = 13
MOST_CHART_COLUMNS = 61
# The labels left and right of the chart's plot.
_CHART_SIDES = 14


class StrengthScreen(FormScreen):
    """``keep`` stores a reading with the brew it belongs to; without it there is no brew."""

    HEADING = "STRENGTH AND EXTRACTION"
    PAGE = STRENGTH_PAGE
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "keep", "Keep", priority=True)]

    def __init__(
        self,
        glyphs: Glyphs = FULL,
        *,
        dose_g: Grams | None = None,
        water_g: Grams | None = None,
        beverage_g: Grams | None = None,
        keep: Callable[[MeasuredBrew], None] | None = None,
    ) -> None:
        """Masses of a brew stand in their fields already."""
        super().__init__(
            (
                Field("tds", "Strength", "% TDS, as 1.32"),
                Field("beverage", "In server", "g of coffee, weighed", _text(beverage_g)),
                Field("dose", "Dose", "g of dry coffee", _text(dose_g)),
                Field("water", "Water", "g poured in all", _text(water_g)),
            ),
            glyphs,
        )
        self._earlier: tuple[tuple[Percent, Percent], ...] = ()
        self._keep = keep

    def show_earlier(self, points: Sequence[tuple[Percent, Percent]]) -> None:
        """Show (extraction, strength) of other brews beside this one."""
        self._earlier = tuple(points)
        self._show()

    def keys(self) -> Keys:
        return (("f2", "Keep"),) if self._keep is not None else ()

    def answer(self, given: Mapping[str, str], width: int, *, why: bool) -> list[str]:
        marks = ASCII_MARKS if not self.glyphs.halves else BLOCK_MARKS
        size = {"width": min(MOST_CHART_COLUMNS, width - _CHART_SIDES), "height": CHART_ROWS}
        brew = measured_brew(given)
        if brew is None:
            chart = control_chart(None, self._earlier, marks=marks, **size)
            return ["Type strength, dose, and the coffee in the server or the water.", "", *chart]
        found = work_out_extraction(brew)
        lines = [f"method      {_METHODS[brew.method]}", *strength_lines(brew, found, why=why)]
        return [*lines, "", *control_chart(found, self._earlier, marks=marks, **size)]

    def action_keep(self) -> None:
        if self._keep is None:
            return
        try:
            brew = measured_brew(self.form.answers())
            if brew is None:
                self.say("There is no reading yet to keep.")
                return
            work_out_extraction(brew)
        except PourcoachError as error:
            self._not_kept(error)
            return
        off_loop(
            self,
            partial(self._keep, brew),
            lambda _: self.say("The reading is kept with the brew."),
            self._not_kept,
        )

    def _not_kept(self, error: PourcoachError) -> None:
        self.say(f"Not kept: {error}")


_METHODS = {
    ExtractionMethod.BEVERAGE: "from the coffee in the server",
    ExtractionMethod.DRIP_CLASSIC: (
        "from the water, with what the grounds keep as common practice has it"
    ),
}


def measured_brew(given: Mapping[str, str]) -> MeasuredBrew | None:
    """The brew as typed; None while too little is. Raises UsageError for what is no number."""
    strength_pct = _number(given, "tds", "the strength")
    dose_g = _number(given, "dose", "the dose")
    beverage_g = _number(given, "beverage", "the coffee in the server")
    water_g = _number(given, "water", "the water")
    if strength_pct is None or dose_g is None or (beverage_g is None and water_g is None):
        return None
    return MeasuredBrew(
        dose_g=Measured(dose_g, USUAL_DOSE_ERROR_G),
        strength_pct=Measured(strength_pct, USUAL_STRENGTH_ERROR_PCT),
        method=ExtractionMethod.DRIP_CLASSIC if beverage_g is None else ExtractionMethod.BEVERAGE,
        beverage_g=None if beverage_g is None else Measured(beverage_g, USUAL_MASS_ERROR_G),
        water_g=None if water_g is None else Measured(water_g, USUAL_MASS_ERROR_G),
    )


def _number(given: Mapping[str, str], key: str, noun: str) -> float | None:
    text = given.get(key)
    if text is None:
        return None
    try:
        return read_number(text)
    except UsageError as error:
        raise UsageError(f"{noun}: {error.what}", error.remedy) from None


def _text(mass_g: Grams | None) -> str:
    return "" if mass_g is None else f"{mass_g:g}"
