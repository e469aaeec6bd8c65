"""What is said of brews from the list: how the cup was, and tags."""

from collections.abc import Sequence
from functools import partial

from pourcoach import wall_clock
from pourcoach.domain.afterwards import Afterword, Tag
from pourcoach.domain.printable import printable
from pourcoach.library.records import Brew
from pourcoach.tui.forms.cup_screen import CupScreen
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.sessions.preview import name_of
from pourcoach.tui.sessions.shelf import Shelf


def cup_screen(brew: Brew, shelf: Shelf, glyphs: Glyphs) -> CupScreen:
    """Takes cup notes on one brew."""
    about = " ".join(part for part in (brew.by, name_of(brew)) if part)
    say = partial(shelf.say, brew.number)
    return CupScreen(about, say, glyphs, coffee=brew.coffee or "")


def tags_in(text: str) -> list[Afterword]:
    """Tags as typed, blanks between; one with a hyphen before it is taken off."""
    at = wall_clock.timestamp()
    return [
        Tag(printable(word.removeprefix("-")), at, on=not word.startswith("-"))
        for word in text.split()
        if word.removeprefix("-")
    ]


def say_of_all(shelf: Shelf, brews: Sequence[Brew], words: Sequence[Afterword]) -> str:
    """Keep the same words with each; a sentence where some are not on their recordings yet."""
    later = [shelf.say(brew.number, words) for brew in brews]
    return next((sentence for sentence in later if sentence is not None), "")
