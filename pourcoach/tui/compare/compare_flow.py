"""How brews come to be compared: which with which, and one more if wanted."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path

from textual.app import App

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import PourcoachError, WorkError
from pourcoach.places import tapes_folder
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.shipped import shipped_recordings, stem_of
from pourcoach.recordings.tape import TapeHeader, header_of
from pourcoach.reports.brew.brew_line import when
from pourcoach.reports.brew.brew_report import BrewReport, read_brew
from pourcoach.reports.comparison.comparison import Comparison, compare
from pourcoach.session.kept.who_brewed import as_known
from pourcoach.session.rubric_in_use import judged_under
from pourcoach.tui.compare.compare_screen import AfterCompare, CompareScreen
from pourcoach.tui.dialogs.dialogs import MOST_THINGS, PickScreen
from pourcoach.tui.off_loop import Failed, in_thread
from pourcoach.tui.renderables.glyphs import Glyphs


def start_comparing(
    app: "App[None]", tape: Path, rubric: Rubric, glyphs: Glyphs, failed: Failed
) -> None:
    """Ask over the screen that is shown which brew to compare the one on ``tape`` with, and show
    them, until left. ``failed`` is called where there is none, or one cannot be compared.
    """

    async def story() -> None:
        try:
            other = await _picked(app, [tape])
            if other is not None:
                await show_compared(app, [tape, other], rubric, glyphs)
        except PourcoachError as error:
            failed(error)

    app.run_worker(story(), group="compare", exclusive=True)


async def show_compared(
    app: "App[None]", tapes: Sequence[Path], rubric: Rubric, glyphs: Glyphs
) -> None:
    """Show two brews or more side by side, and one more where that is asked for, until left.

    Raises PourcoachError where one cannot be read or compared.
    """
    tapes = list(tapes)
    while True:
        comparison = await in_thread(partial(_compared, tapes, rubric))
        after = await app.push_screen_wait(CompareScreen(comparison, glyphs, can_add=True))
        if after is not AfterCompare.ADD:
            return
        with suppress(WorkError):
            other = await _picked(app, tapes)
            tapes += [] if other is None else [other]


async def _picked(app: "App[None]", but: Sequence[Path]) -> Path | None:
    offers = await in_thread(partial(_offers, but))
    if not offers:
        raise WorkError("there is no other recording to compare with")
    question = f"Compare {stem_of(but[-1])} with which?"
    index = await app.push_screen_wait(PickScreen(question, [text for _, text in offers]))
    return None if index is None else offers[index][0]


def _offers(but: Sequence[Path]) -> list[tuple[Path, str]]:
    """The newest recordings, those that come with the program last; each with a line to show."""
    taken = {path.resolve() for path in but}
    found = []
    for path in _recordings():
        if path.resolve() in taken:
            continue
        with suppress(PourcoachError):
            header = header_of(path)
            about = (stem_of(path), header.by, when(header.recorded_at))
            text = ", ".join(part for part in about if part and part != "–")
            found.append((path, text))
        if len(found) == MOST_THINGS:
            break
    return found


def _recordings() -> Iterator[Path]:
    with suppress(WorkError):
        yield from tapes_in(tapes_folder())
    yield from shipped_recordings()


def _compared(tapes: Sequence[Path], rubric: Rubric) -> Comparison:
    brews: list[BrewReport] = [
        read_brew(tape, rubric, partial(_under, tape, rubric)) for tape in tapes
    ]
    return compare(brews)


def _under(tape: Path, rubric: Rubric, header: TapeHeader) -> TapeHeader:
    return judged_under(as_known(header, tape), rubric)
