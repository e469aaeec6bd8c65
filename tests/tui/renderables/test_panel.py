"""The word panel at all widths, as text."""

import pytest

from pourcoach.domain.advice import USUAL_STATE, CueState, Word
from pourcoach.tui.renderables.block_text import block_text
from pourcoach.tui.renderables.glyphs import ASCII, FULL
from pourcoach.tui.renderables.palette import DARK, TONES
from pourcoach.tui.renderables.panel import BLOCK_HEIGHT, draw_panel


def panel(
    word: Word, figure: str, width: int, height: int = BLOCK_HEIGHT, sentence: str = "9 g under"
) -> list[str]:
    tone = TONES[USUAL_STATE[word]]
    cells = draw_panel(word, tone, sentence, figure, "g of 180", width, height, FULL, DARK)
    return cells.text().split("\n")


def test_a_panel() -> None:
    assert panel(Word.MORE, "49.5", 76) == [
        "",
        "  ██      ██ ██████ ██████ ██████                  ██  ██ ██████    ██████",
        "  ████  ████ ██  ██ ██  ██ ██                      ██  ██ ██  ██    ██",
        "  ██  ██  ██ ██  ██ ████   ████                    ██████ ██████    ██████",
        "  ██      ██ ██  ██ ██  ██ ██                          ██     ██        ██",
        "  ██      ██ ██████ ██  ██ ██████                      ██ ██████ ██ ██████",
        "  ▲ 9 g under                                                     g of 180",
    ]


@pytest.mark.parametrize("word", Word)
@pytest.mark.parametrize(
    ("width", "word_fit", "figure", "figure_fit"),
    [
        (160, (2, 2), "288.8", (2, 2)),
        (100, (2, 2), "288.8", (2, 2)),
        (80, (2, 1), "288.8", (2, 1)),
        (74, (2, 1), "288.8", (2, 1)),
        (73, (2, 1), "288.8", (1, 1)),
        (60, (2, 1), "288.8", (1, 1)),
        (59, (1, 1), "288.8", (1, 1)),
        (42, (1, 1), "288.8", (1, 1)),
    ],
)
def test_word_and_weight_are_whole_at_every_width(
    word: Word, width: int, word_fit: tuple[int, int], figure: str, figure_fit: tuple[int, int]
) -> None:
    left = block_text(word.value, FULL, *word_fit)
    right = block_text(figure, FULL, *figure_fit)
    for row, (begin, end) in zip(
        panel(word, figure, width)[1:6], zip(left, right, strict=True), strict=True
    ):
        assert row.lstrip().startswith(begin.strip())
        assert row.endswith(end.rstrip())
        assert row.count("█") == begin.count("█") + end.count("█")
        assert len(row) <= width


def test_at_forty_columns_the_longest_word_costs_the_decimal() -> None:
    assert panel(Word.STEADY, "288.8", 40)[1:6] == [
        " ███ ███ ███ ███ ██  █ █    ███ ███ ███",
        " █    █  █   █ █ █ █ █ █      █ █ █ █ █",
        " ███  █  ██  ███ █ █ ███    ███ ███ ███",
        "   █  █  █   █ █ █ █  █     █   █ █ █ █",
        " ███  █  ███ █ █ ██   █     ███ ███ ███",
    ]


def test_a_word_keeps_its_size_whatever_the_weight() -> None:
    tops = {panel(Word.POUR, figure, 80)[1][:30] for figure in ("0.0", "88.8", "1234", "-99.9")}
    assert tops == {"  ██████ ██████ ██  ██ ██████ "}


def test_a_long_sentence_is_cut_before_the_caption() -> None:
    assert panel(Word.SCALE, "--.-", 40, sentence="no reading comes from elsewhere")[6] == (
        " ! no reading comes from       g of 180"
    )


def test_of_a_long_text_whole_sentences_are_kept() -> None:
    sentence = "No reading comes. The brew goes on."
    assert panel(Word.SCALE, "--.-", 60, sentence=sentence)[6].startswith(f" ! {sentence} ")
    assert panel(Word.SCALE, "--.-", 40, sentence=sentence)[6].startswith(" ! No reading comes.  ")


def test_a_low_panel_is_plain_text() -> None:
    assert panel(Word.POUR, "49.5", 40, height=3) == [" ► POUR  49.5 g of 180", " 9 g under", ""]


def test_a_row_is_one_piece_to_send() -> None:
    pieces = [
        len(
            [
                *draw_panel(
                    Word.POUR,
                    TONES[CueState.ON_TARGET],
                    "On target.",
                    "123.4",
                    "g of 180",
                    100,
                    8,
                    FULL,
                    DARK,
                ).strip(row)
            ]
        )
        for row in range(8)
    ]
    assert pieces == [1] * 8


@pytest.mark.parametrize("state", CueState)
def test_every_cell_has_the_colours_of_the_tone(state: CueState) -> None:
    """The whole panel changes, not only the letters."""
    tone = TONES[state]
    cells = draw_panel(Word.POUR, tone, "so", "8.8", "g", 80, BLOCK_HEIGHT, ASCII, DARK)
    grounds = {
        segment.style.bgcolor.name
        for row in range(BLOCK_HEIGHT)
        for segment in cells.strip(row)
        if segment.style is not None and segment.style.bgcolor is not None
    }
    assert grounds == {DARK.tone(TONES[state]).ground}


def test_a_sentence_goes_on_in_the_rows_below() -> None:
    """At 40x12 the panel has two rows more than the blocks and their margin."""
    sentence = "All water is in. Let the bed drain, then lift the brewer or press Space."
    rows = panel(Word.DRAIN, "320.1", 40, 9, sentence)
    assert [row.strip() for row in rows[6:]] == [
        "↓ All water is in. Let the    g of 180",
        "bed drain, then lift the brewer or",
        "press Space.",
    ]


def test_what_is_asked_is_whole_at_forty_columns() -> None:
    assert panel(Word.STEADY, "AGAIN?", 40)[3].endswith(" AGAIN?")
    assert "█" not in panel(Word.STEADY, "AGAIN?", 40)[1][24:]
