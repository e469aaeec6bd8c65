"""Pages in a real browser: they render, ask for nothing, and print on few sheets."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.brew_report import read_brew
from pourcoach.reports.comparison.comparison import compare
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.reports.pages.brew_page import brew_page
from pourcoach.reports.pages.comparison_page import comparison_page
from pourcoach.reports.pages.group_pages import class_page, person_page
from tests.browser import Watch, launched
from tests.reports.drawn_report import shipped_brew
from tests.reports.group.made_group import GETTING_BETTER, TWELVE_BREWS
from tests.reports.hostile import MARKUP, hostile_recording
from tests.reports.made_brew import USUAL_RUBRIC

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAPERS = ("A4", "Letter")
SCHEMES = ("light", "dark")


@pytest.fixture(scope="module")
def browser() -> "Iterator[Browser]":
    with launched() as browser:
        yield browser


@pytest.fixture(scope="module")
def brew_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("pages") / "brew.html"
    path.write_text(brew_page(shipped_brew("knocks-and-lift")), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def worst_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Of the recordings that come with the program, the one with most to say."""
    path = tmp_path_factory.mktemp("pages") / "worst.html"
    path.write_text(brew_page(shipped_brew("hasty")), encoding="utf-8")
    return path


def opened(browser: "Browser", path: Path, scheme: str = "light") -> "tuple[Page, Watch]":
    """The page as its reader sees it, and what it does beside."""
    page = browser.new_page(color_scheme=scheme)  # type: ignore[arg-type]
    watch = Watch()
    watch.over(page)
    page.goto(path.as_uri())
    return page, watch


def sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


@pytest.mark.parametrize("scheme", SCHEMES)
def test_a_brew_renders_and_asks_for_nothing(
    browser: "Browser", brew_file: Path, scheme: str
) -> None:
    page, watch = opened(browser, brew_file, scheme)
    assert page.locator("h1").inner_text() == "knocks-and-lift"
    lead = shipped_brew("knocks-and-lift").lead
    assert lead is not None
    assert page.locator(".headline").inner_text() == lead.headline
    box = page.locator("figure svg").bounding_box()
    assert box is not None
    assert box["width"] > 300
    assert box["height"] > 200
    # It is handed out: a path says whose machine it comes from.
    assert "Recording: knocks-and-lift." in page.locator("footer").inner_text()
    assert watch.errors == []
    assert watch.requests == [brew_file.as_uri()]
    page.close()


def test_the_scheme_of_the_reader_is_followed(browser: "Browser", brew_file: Path) -> None:
    grounds = []
    for scheme in SCHEMES:
        page, _ = opened(browser, brew_file, scheme)
        grounds.append(page.evaluate("getComputedStyle(document.body).backgroundColor"))
        page.close()
    assert grounds == ["rgb(255, 255, 255)", "rgb(18, 22, 27)"]


def test_it_reads_without_scripts_and_on_a_phone(browser: "Browser", brew_file: Path) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(brew_file.as_uri())
    assert page.locator("table").count() >= 3
    page_width = page.locator("main").bounding_box()
    assert page_width is not None
    assert page_width["width"] <= 360
    context.close()


def test_a_comparison_renders(browser: "Browser", tmp_path: Path) -> None:
    path = tmp_path / "compared.html"
    brews = [shipped_brew(name) for name in ("steady", "light-bloom")]
    path.write_text(comparison_page(compare(brews)), encoding="utf-8")
    page, watch = opened(browser, path)
    assert page.get_by_role("img").count() == 4
    assert page.locator(".beside.seen").first.inner_text() == "-0.6 ± 0.2 g"
    assert (watch.errors, watch.requests) == ([], [path.as_uri()])
    assert sheets(page.pdf(format="A4", prefer_css_page_size=True)) <= 3
    page.close()


def test_a_class_answers_at_a_glance(browser: "Browser", tmp_path: Path) -> None:
    """Twelve brews of three students, one of whom cuts every bloom short."""
    page, watch = browser.new_page(viewport={"width": 1100, "height": 800}), Watch()
    watch.over(page)
    path = tmp_path / "class.html"
    path.write_text(class_page(TWELVE_BREWS), encoding="utf-8")
    page.goto(path.as_uri())
    lead = page.locator(".lead .headline")
    assert lead.inner_text() == "Ben: short bloom in 4 of 4 brews, the others in 0 of 8."
    box = lead.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] < 400  # without scrolling
    assert page.locator(".matrix .off").all_inner_texts() == ["4 of 4"]
    assert page.locator(".cards svg").count() == 12
    assert (watch.errors, watch.requests) == ([], [path.as_uri()])
    assert sheets(page.pdf(format="A4", prefer_css_page_size=True)) <= 2
    page.close()


def test_progress_renders_with_its_trend(browser: "Browser", tmp_path: Path) -> None:
    path = tmp_path / "person.html"
    path.write_text(person_page(GETTING_BETTER), encoding="utf-8")
    page, watch = opened(browser, path)
    assert page.get_by_role("img", name="Marks met by Cleo over time").count() == 1
    assert "rises by" in page.locator(".lead").inner_text()
    assert (watch.errors, watch.requests) == ([], [path.as_uri()])
    page.close()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("scheme", SCHEMES)
def test_a_brew_prints_on_two_sheets(
    browser: "Browser", worst_file: Path, paper: str, scheme: str
) -> None:
    page, _ = opened(browser, worst_file, scheme)
    assert 1 <= sheets(page.pdf(format=paper, prefer_css_page_size=True)) <= 2
    page.emulate_media(media="print")
    # Paper is white, however the reader likes a screen.
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert ground == "rgb(255, 255, 255)"
    page.close()


def test_charts_have_words_for_who_cannot_see_them(browser: "Browser", brew_file: Path) -> None:
    page, _ = opened(browser, brew_file)
    chart = page.get_by_role("img", name="The curve of knocks-and-lift")
    assert chart.count() == 1
    assert shipped_brew("knocks-and-lift").result in (chart.locator("desc").text_content() or "")
    assert page.locator("details tbody tr").count() >= 10
    page.close()


def test_markup_is_only_shown(browser: "Browser", tmp_path: Path) -> None:
    """In the stage's name, the brewer's, the date, the note, the file's and what was entered."""

    def as_it_is(header: TapeHeader) -> TapeHeader:
        return header

    page, watch = browser.new_page(), Watch()
    watch.over(page)
    for text in MARKUP:
        made, file = hostile_recording(tmp_path, text), text.replace("/", "")
        brew = read_brew(made, USUAL_RUBRIC, as_it_is, f"{file}.jsonl")
        path = tmp_path / "hostile.html"
        path.write_text(brew_page(brew), encoding="utf-8")
        watch.requests.clear()
        page.goto(path.as_uri())
        assert watch.errors == []
        assert watch.requests == [path.as_uri()]
        assert page.locator("script, img, iframe, object, [onload], [onerror]").count() == 0
        assert page.locator("h1").inner_text() == file
        others = (
            comparison_page(compare([brew, brew])),
            class_page([GroupBrew.of(brew)] * 3),
            person_page([GroupBrew.of(brew)] * 3),
        )
        for place in (".about span:nth-child(2)", "tbody th.name >> nth=0", "ul li >> nth=-1"):
            assert text in page.locator(place).inner_text()
        for other in others:
            path.write_text(other, encoding="utf-8")
            page.reload()
            assert watch.errors == []
            assert page.locator("script, img, iframe, object, [onload], [onerror]").count() == 0
            assert text in page.locator("body").inner_text()
    page.close()
