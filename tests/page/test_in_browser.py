"""The page in Chromium: what it shows, and what it keeps from doing."""

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.page.address import PageAddress
from pourcoach.page.server import PageServer
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.wording.motifs import MOTIFS
from tests.browser import Watch, launched
from tests.page.boards import FakeBoard, pouring

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

EVIL = '<img src=x onerror="document.title=1"><script>document.title=2</script>\u202e'


@pytest.fixture(scope="module")
def browser() -> Iterator["Browser"]:
    with launched() as browser:
        yield browser


def says(page: "Page", name: str, text: "str | re.Pattern[str]") -> None:
    """Wait until it does. Not by a script: the page's policy allows none but its own."""
    from playwright.sync_api import expect

    expect(page.locator(name)).to_have_text(text)


def until(holds: Callable[[], bool]) -> None:
    until_s = time.monotonic() + 10.0
    while not holds():
        assert time.monotonic() < until_s
        time.sleep(0.01)


@contextmanager
def served(board: FakeBoard, address: str = "0") -> Iterator[PageServer]:
    with PageServer(board, PageAddress.parse(address)) as server:
        server.wait_until_up()
        yield server


@contextmanager
def opened(
    browser: "Browser", url: str, width: int = 360, height: int = 640, **more: Any
) -> Iterator[tuple["Page", Watch]]:
    context = browser.new_context(viewport={"width": width, "height": height}, **more)
    page, watch = context.new_page(), Watch()
    watch.over(page)
    try:
        page.goto(url)
        yield page, watch
    finally:
        context.close()


@pytest.mark.parametrize(
    ("width", "height", "scheme"), [(360, 640, "dark"), (360, 640, "light"), (1920, 1080, "light")]
)
def test_one_brew_fits_phone_and_projector(
    browser: "Browser", width: int, height: int, scheme: str
) -> None:
    board = FakeBoard()
    with (
        served(board) as server,
        opened(browser, server.url, width, height, color_scheme=scheme) as (page, watch),
    ):
        for word in (Word.POUR, Word.STEADY, Word.WAIT):
            board.stations = [pouring(word=word)]
            says(page, "#word", word.value)
            assert page.inner_text("#figure") == ("0:15" if word is Word.WAIT else "97.3")
            # Nothing is cut off or has to be scrolled to.
            assert page.evaluate("document.documentElement.scrollWidth") == width
            assert page.evaluate("document.documentElement.scrollHeight") == height
            for name in ("#word", "#figure", "#bar", "#curve"):
                box = page.locator(name).bounding_box()
                assert box is not None
                assert box["x"] >= 0
                assert box["x"] + box["width"] <= width
                assert box["y"] + box["height"] <= height
        # What is seen first: a fifth of a phone's width, of a projector's height.
        size = page.evaluate("parseFloat(getComputedStyle(word).fontSize)")
        assert size >= 0.18 * min(width, height)
        assert watch.errors == []
        host = f"127.0.0.1:{server.guard.port}"
        assert all(
            asked.startswith((f"http://{host}/", f"ws://{host}/")) for asked in watch.requests
        )


@pytest.mark.parametrize(("width", "height"), [(360, 640), (1920, 1080)])
def test_a_class_is_a_grid(browser: "Browser", width: int, height: int) -> None:
    board = FakeBoard([pouring(str(number)) for number in range(1, 8)])
    with served(board) as server, opened(browser, server.url, width, height) as (page, watch):
        page.wait_for_selector("#wall:not([hidden])")
        assert page.locator(".tile").count() == 7
        assert page.evaluate("document.documentElement.scrollWidth") == width
        scrolled = page.evaluate("wall.scrollHeight > wall.clientHeight")
        assert scrolled is (width == 360)
        assert watch.errors == []


def test_it_says_scale_old_and_gone(browser: "Browser") -> None:
    board = FakeBoard()
    with served(board) as server, opened(browser, server.url) as (page, _):
        says(page, "#word", "POUR")
        board.stations = [pouring(stale=True, notice="The cable is out")]
        says(page, "#word", "SCALE?")
        assert (page.inner_text("#figure"), page.inner_text("#says")) == (
            "--.-",
            "The cable is out",
        )
        board.stations = [SeenStation("1", TileAge.OLD, pouring().tile, 5.0)]
        says(page, "#word", "OLD")
        assert page.inner_text("#says") == "Last: POUR 97 g, 5 s ago"
        board.stations = [SeenStation("1", TileAge.GONE, pouring().tile, 5.0)]
        says(page, "#word", "GONE")


def test_a_screen_reader_is_given_one_word_at_a_time(browser: "Browser") -> None:
    board = FakeBoard()
    with served(board) as server, opened(browser, server.url) as (page, _):
        says(page, "#live", "Pour")
        page.evaluate(
            "window.said = []; new MutationObserver(() => said.push(live.textContent))"
            ".observe(live, {childList: true, characterData: true, subtree: true})"
        )
        for grams in (98.0, 99.0):
            board.stations = [pouring(grams=grams)]
            says(page, "#figure", f"{grams:.1f}")
        board.stations = [pouring(word=Word.STOP)]
        says(page, "#live", "Stop")
        assert page.evaluate("said") == ["Stop"]
        assert page.get_attribute("#live", "aria-live") == "polite"
        assert page.get_attribute("#bar", "aria-label") is not None


def test_it_comes_back_after_the_server_was_stopped(browser: "Browser") -> None:
    board = FakeBoard()
    with served(board) as server:
        port = server.guard.port
        context = browser.new_context()
        page = context.new_page()
        page.goto(server.url)
        says(page, "#word", "POUR")
    says(page, "#word", "OLD")
    assert "Trying again" in page.inner_text("#state")
    board.stations = [pouring(word=Word.STOP)]
    with served(board, str(port)):
        says(page, "#word", "STOP")
        assert page.inner_text("#state") == ""
    context.close()


def test_the_token_is_taken_out_of_sight_and_a_wrong_one_refused(browser: "Browser") -> None:
    with served(FakeBoard(), "0.0.0.0:0") as server:
        here = f"http://127.0.0.1:{server.guard.port}/"
        token = server.url.partition("#")[2]
        with opened(browser, f"{here}#{token}") as (page, watch):
            says(page, "#word", "POUR")
            assert page.url == here
            page.reload()
            says(page, "#word", "POUR")
            assert not any(token in asked.partition("#")[0] for asked in watch.requests)
        for wrong in (here, f"{here}#{token[:-1]}"):
            with opened(browser, wrong) as (page, _):
                says(page, "#state", re.compile("^No entry"))
                assert page.is_hidden("#one")


def test_another_site_cannot_look_in(browser: "Browser") -> None:
    with (
        served(FakeBoard()) as server,
        served(FakeBoard()) as other,
        opened(browser, other.url) as (page, _),
    ):
        # Its own policy would stop it, too: what is tried here is the server.
        page.context.new_cdp_session(page).send("Page.setBypassCSP", {"enabled": True})
        page.reload()
        opened_it = page.evaluate(
            "port => new Promise(done => { const s = new WebSocket(`ws://127.0.0.1:${port}/ws`);"
            " s.onopen = () => done(true); s.onerror = () => done(false); })",
            server.guard.port,
        )
        assert opened_it is False


def test_texts_from_outside_are_only_ever_shown(browser: "Browser") -> None:
    board = FakeBoard([SeenStation(EVIL, TileAge.LIVE, trouble=EVIL), pouring("2")])
    with served(board) as server, opened(browser, server.url) as (page, watch):
        page.wait_for_selector(".tile")
        assert EVIL[:20] in page.inner_text(".tile .name")
        assert page.title() == "pourcoach"
        assert page.locator("#tiles img, #tiles script").count() == 0
        assert watch.errors == []


def test_sounds_are_heard_at_changes_of_word_only(browser: "Browser") -> None:
    board = FakeBoard()
    with served(board) as server, opened(browser, server.url) as (page, watch):
        says(page, "#word", "POUR")
        page.click("#sound-button")
        assert page.locator("#sound-list button").count() == len(Word)
        page.check("#sound-on")
        page.click("#sound-close")
        for grams in (98.0, 99.0, 100.0):
            board.stations = [pouring(grams=grams)]
            says(page, "#figure", f"{grams:.1f}")
        assert page.evaluate("pourcoachSound.played.length") == 0
        board.stations = [pouring(word=Word.STOP)]
        until(lambda: page.evaluate("pourcoachSound.played.length") == 1)
        assert page.evaluate("pourcoachSound.played[0][0]") == "STOP"
        page.click("#sound-button")
        page.check("#sound-mute")
        page.click("#sound-close")
        board.stations = [pouring(word=Word.POUR)]
        says(page, "#word", "POUR")
        assert page.evaluate("pourcoachSound.played.length") == 1
        assert watch.errors == []
        motifs = page.evaluate("import('/motifs.js').then(it => it.MOTIFS)")
    assert motifs == {
        word.value: {"says": motif.says, "tones": [list(tone) for tone in motif.tones]}
        for word, motif in MOTIFS.items()
    }


def test_in_training_no_pitch_says_how_far_off_it_is(browser: "Browser") -> None:
    def pitched(page: "Page") -> float:
        level: float = page.evaluate("pourcoachSound.droneGain.gain.value")
        return level

    board = FakeBoard([replace(pouring(grams=60.0), pitch=False)])
    with served(board) as server, opened(browser, server.url) as (page, _):
        says(page, "#figure", "60.0")
        page.click("#sound-button")
        page.select_option("#sound-pitch", "off-target")
        page.click("#sound-close")
        board.stations = [replace(pouring(grams=61.0), pitch=False)]
        says(page, "#figure", "61.0")
        assert pitched(page) == 0.0
        board.stations = [pouring(grams=62.0)]
        until(lambda: pitched(page) > 0.01)


def test_reduced_motion_is_honoured(browser: "Browser") -> None:
    with served(FakeBoard()) as server, opened(browser, server.url) as (page, _):
        for wanted, moves in (("reduce", False), ("no-preference", True)):
            page.emulate_media(reduced_motion=wanted)
            lasts = page.evaluate("getComputedStyle(panel).transitionDuration")
            assert (lasts != "0s") is moves
