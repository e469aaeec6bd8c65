"""The review as text, and driven by keys."""

import pytest

from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.domain.afterwards import RemarkKind
from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.renderables.glyphs import ASCII, CP437, FULL, Glyphs
from pourcoach.tui.review.panels import StageList, VerdictPanel
from pourcoach.tui.review.review_screen import After
from tests.reports.made_brew import STEADY, USUAL_RUBRIC, last_frame
from tests.tui.as_text import Golden, Pressed, ScreenText, Size, as_text
from tests.tui.made_review import FAULTY, FakeKeeper, ReviewApp
from tests.tui.settled import settled


@pytest.mark.parametrize(
    ("name", "size", "glyphs", "frame", "keys"),
    [
        ("review-100x30", (100, 30), FULL, FAULTY, ()),
        ("review-stage-100x30", (100, 30), FULL, FAULTY, ("2",)),
        ("review-no-fault-100x30", (100, 30), FULL, last_frame(), ()),
        ("review-no-plan-80x24", (80, 24), FULL, last_frame(plan=None), ()),
        ("review-no-water-80x24", (80, 24), FULL, last_frame(()), ()),
        ("review-80x24", (80, 24), FULL, FAULTY, ()),
        ("review-stage-80x24-cp437", (80, 24), CP437, FAULTY, ("3",)),
        ("review-80x24-ascii", (80, 24), ASCII, FAULTY, ()),
        ("review-60x20", (60, 20), FULL, FAULTY, ()),
        ("review-stage-60x20", (60, 20), FULL, FAULTY, ("2",)),
        ("review-40x10", (40, 10), FULL, FAULTY, ()),
        ("review-39x9", (39, 9), FULL, FAULTY, ()),
        ("review-10x3", (10, 3), FULL, FAULTY, ()),
    ],
)
async def test_as_text(
    name: str, size: Size, glyphs: Glyphs, frame: Frame, keys: Pressed, golden: Golden
) -> None:
    golden(name, await as_text(lambda: ReviewApp(frame, glyphs, keeper=FakeKeeper()), size, keys))


@pytest.mark.parametrize(
    ("frame", "tone"),
    [(FAULTY, "-act"), (last_frame(), "-target"), (last_frame(STEADY[:1]), "-wait")],
)
async def test_the_head_shows_by_its_tone_whether_there_is_something_to_fix(
    frame: Frame, tone: str
) -> None:
    app = ReviewApp(frame)
    async with app.run_test() as pilot:
        await settled(pilot)
        assert app.screen.query_one(VerdictPanel).has_class(tone)


@pytest.mark.parametrize(
    ("key", "after"),
    [("r", After.REPLAY), ("b", After.AGAIN), ("escape", After.BACK), ("q", After.QUIT)],
)
async def test_a_key_leaves_for_what_comes_next(key: str, after: After) -> None:
    app = ReviewApp()
    async with app.run_test() as pilot:
        await pilot.press(key)
        await settled(pilot)
        assert app.after is after


@pytest.mark.parametrize("key", ["r", "b", "l", "n", "t", "c", "a", "e"])
async def test_what_cannot_be_done_has_no_key(key: str, screen_text: ScreenText) -> None:
    app = ReviewApp(can=False)
    async with app.run_test() as pilot:
        await pilot.press(key)
        await settled(pilot)
        assert app.screen is app.review
        assert app.after is None
        for action in ("Replay", "Brew again", "Bed", "Taste", "Advice"):
            assert action not in screen_text(app)


async def test_space_goes_through_the_stages_and_back_to_the_whole(screen_text: ScreenText) -> None:
    app = ReviewApp()
    async with app.run_test(size=(100, 30)) as pilot:
        said = []
        for _ in range(4):
            await pilot.press("space")
            await settled(pilot)
            said.append(screen_text(app))
    assert "bloom: nothing noted." in said[0]
    assert "Uneven pour, 99 % sure." in said[1]
    assert "Stalled pour, 96 % sure." in said[2]
    assert "Channeling risk" in said[3]


async def test_a_click_on_a_stage_picks_it(screen_text: ScreenText) -> None:
    app = ReviewApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.click(StageList, offset=(10, 3))
        await settled(pilot)
        assert "Stalled pour, 96 % sure." in screen_text(app)


async def test_a_number_beyond_the_stages_does_nothing(screen_text: ScreenText) -> None:
    app = ReviewApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("9")
        await settled(pilot)
        assert "Channeling risk" in screen_text(app)


async def test_the_details_have_all_that_was_noted(screen_text: ScreenText) -> None:
    app = ReviewApp()
    async with app.run_test(size=(100, 50)) as pilot:
        await pilot.press("d")
        await settled(pilot)
        assert isinstance(app.screen, HelpScreen)
        assert "SCALE DISTURBED" in screen_text(app)


async def test_the_beds_look_is_kept_and_set_beside_the_risk(screen_text: ScreenText) -> None:
    keeper = FakeKeeper()
    app = ReviewApp(keeper=keeper)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("l", "5")
        await settled(pilot)
        assert keeper.kept == [(RemarkKind.BED, "hole")]
        assert "The bed: hole; risk from the" in screen_text(app)


async def test_the_beds_look_stands_beside_the_risk_on_a_narrow_screen(
    screen_text: ScreenText,
) -> None:
    app = ReviewApp(keeper=FakeKeeper())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("l", "5")
        await settled(pilot)
        shown = " ".join(screen_text(app).split())
    assert "Kept. The bed: hole; risk from the pour: raised. Both suggest" in shown


async def test_what_was_entered_before_is_shown_again(screen_text: ScreenText) -> None:
    keeper = FakeKeeper()
    keeper.remark(RemarkKind.BED, "crater")
    app = ReviewApp(keeper=keeper)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        assert "The bed: crater;" in screen_text(app)


async def test_a_note_is_kept() -> None:
    keeper = FakeKeeper()
    app = ReviewApp(keeper=keeper)
    async with app.run_test() as pilot:
        await pilot.press("n", *"sour", "enter")
        await settled(pilot)
        assert keeper.kept == [(RemarkKind.NOTE, "sour")]


async def test_what_cannot_be_kept_is_reported(screen_text: ScreenText) -> None:
    app = ReviewApp(keeper=FakeKeeper(full=True))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("l", "1")
        await settled(pilot)
        assert "the disk is full; free it" in screen_text(app)


@pytest.mark.parametrize(
    ("keys", "kept", "said"),
    [
        (("t", *"sour thin"), (RemarkKind.TASTE, "sour thin"), "The taste is kept."),
        (("t", *"odd"), (RemarkKind.TASTE, "odd"), "Advice knows other words: sour, bitter"),
        (("c", *"finer"), (RemarkKind.CHANGE, "finer"), "What was changed is kept."),
        (("c", *"grinder"), (RemarkKind.CHANGE, "grinder"), "other words: hotter, cooler"),
    ],
)
async def test_taste_and_change_are_kept_for_the_advice(
    keys: tuple[str, ...], kept: tuple[RemarkKind, str], said: str, screen_text: ScreenText
) -> None:
    keeper = FakeKeeper()
    app = ReviewApp(keeper=keeper)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*("space" if key == " " else key for key in keys), "enter")
        await settled(pilot)
        assert keeper.kept == [kept]
        assert said in screen_text(app)


async def test_the_brew_is_written_into_the_file_that_is_named(screen_text: ScreenText) -> None:
    keeper = FakeKeeper()
    app = ReviewApp(keeper=keeper)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("e")
        await settled(pilot)
        assert ".html a page to print or hand out, .csv a table" in screen_text(app)
        await pilot.press("end", *["backspace"] * 4, *"png", "enter")
        await settled(pilot)
        assert "It is in /tapes/a-review.png" in screen_text(app)
    assert keeper.kept == [("a-review.png", USUAL_RUBRIC)]


async def test_what_cannot_be_written_is_reported(screen_text: ScreenText) -> None:
    app = ReviewApp(keeper=FakeKeeper(full=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("e")
        await settled(pilot)
        await pilot.press("enter")
        await settled(pilot)
        assert "the disk is full" in screen_text(app)


async def test_advice_is_shown(screen_text: ScreenText) -> None:
    app = ReviewApp(keeper=FakeKeeper())
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("a")
        await settled(pilot)
        assert "CHANGE ONE THING: grind" in screen_text(app)


async def test_advice_that_cannot_be_given_is_reported(screen_text: ScreenText) -> None:
    app = ReviewApp(keeper=FakeKeeper(full=True))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("a")
        await settled(pilot)
        assert "the tape is gone" in screen_text(app)


@pytest.mark.parametrize(
    ("arrangement", "beverage_g", "water_g"),
    [(Arrangement.BREWER_ON_SCALE, "281", "320.3"), (Arrangement.SERVER_ON_SCALE, "320.3", None)],
)
async def test_a_strength_is_kept_with_the_masses_that_the_scale_saw(
    arrangement: Arrangement, beverage_g: str, water_g: str | None
) -> None:
    keeper = FakeKeeper()
    app = ReviewApp(keeper=keeper, arrangement=arrangement)
    async with app.run_test(size=(100, 30)) as pilot:
        typed = () if water_g is None else ("tab", *beverage_g)
        await pilot.press("s", *"1.3", *typed, "f2")
        await settled(pilot)
    (brew,) = keeper.kept
    assert isinstance(brew, MeasuredBrew)
    assert brew.dose_g.value == 20.0
    assert brew.strength_pct.value == 1.3
    assert brew.beverage_g is not None
    assert brew.beverage_g.value == float(beverage_g)
    assert (None if brew.water_g is None else f"{brew.water_g.value:g}") == water_g


async def test_with_the_server_on_the_scale_there_are_no_pours_to_show(
    screen_text: ScreenText,
) -> None:
    app = ReviewApp(last_frame(), arrangement=Arrangement.SERVER_ON_SCALE)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("space")
        await settled(pilot)
        shown = screen_text(app)
    assert "320.3 g of coffee in the server, from 320 g of water planned" in shown
    assert "the pours themselves were not weighed" in shown
    assert "EVEN?" not in shown
    assert "OFF" not in shown


async def test_any_size_is_survived(screen_text: ScreenText) -> None:
    app = ReviewApp()
    async with app.run_test(size=(100, 30)) as pilot:
        for width, height in ((10, 3), (200, 60), (40, 60), (120, 8), (60, 20), (1, 1), (80, 24)):
            await pilot.resize_terminal(width, height)
            await pilot.press("space")
            await settled(pilot)
        assert "EVEN?" in screen_text(app)


async def test_compare_is_there_where_there_is_something_to_compare() -> None:
    app = ReviewApp()
    app.review._compare = lambda failed: failed(WorkError("there is nothing to compare with"))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("v")
        await settled(pilot)
        assert app.review._said == "there is nothing to compare with"
    alone = ReviewApp()
    async with alone.run_test(size=(100, 30)) as pilot:
        await pilot.press("v")
        await settled(pilot)
        assert alone.review._said == ""


async def test_a_replay_begins_at_the_stage_that_is_picked() -> None:
    app = ReviewApp()
    async with app.run_test(size=(100, 30)) as pilot:
        assert app.review.picked_s is None
        await pilot.press("3")
        assert app.review.picked_s == STEADY[2].start_s
        await pilot.press("r")
        assert app.after is After.REPLAY
