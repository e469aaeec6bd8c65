"""The pages of help: what the keys do and what stands on the screens."""

from pourcoach.domain.advice import Word
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.page import Page, Table
from pourcoach.wording import WORD_MEANINGS

_NO_SIGHT = "A scale sees how much is poured, not where it goes in the bed."

_BREW = Table(
    (
        ("space, enter", "begin; finish, pressed twice while water is still to come; a click too"),
        ("t", "tare: what stands on the scale counts as nothing"),
        ("m", "mark this moment, to find it again in the review"),
        ("n", "write a note"),
        ("u", "take back the last tare, mark or finish"),
        ("b", "begin again: asks once the first stage is over"),
        ("s, v", "with --sound: mute it, louder"),
        ("esc", "back; q quits"),
        ("ctrl+p", "colours, and all else that can be done"),
    )
)
_BAR = (
    "The bar shows how far the weight is off the target: under to the left, over to the right."
    " Within the double line it is within the tolerance."
)
_CHART = (
    "The chart shows the plan as dots, its tolerance as a shade, and what was poured as a thick"
    " line."
)


def brew_help() -> Page:
    """Of a live brew. The words first: they are what is asked about in mid-pour."""
    return (
        "The brew begins by itself at the first water, and ends by itself when the bed has drained"
        " or the brewer is lifted. Hot water scalds: put the kettle down before you touch a key.",
        "",
        "The word says what to do now; its panel says how things stand: dark while there is nothing"
        " to do, blue on target, bright when something is to be done.",
        "",
        _words(),
        "",
        _BREW,
        "",
        _BAR,
        "",
        _CHART,
        "",
        _NO_SIGHT,
    )


def replay_page(glyphs: Glyphs) -> Page:
    """Of a replay."""
    keys = Table(
        (
            ("space, enter, p", "pause, go on; a click too"),
            (glyphs.left_right, "5 s back or on"),
            ("home, end", "to the beginning, to the end"),
            ("pgup, pgdn", "the stage before, the next stage"),
            ("shift+tab, tab", "the finding or mark before, the next one"),
            (glyphs.up_down, "faster, slower"),
            (".", "one reading on"),
            ("s, v", "with --sound: mute it, louder"),
            ("esc", "back; q quits"),
            ("ctrl+p", "colours, and all else that can be done"),
        )
    )
    return (keys, "", _words(), "", _BAR, "", _CHART, "", _NO_SIGHT)


def _words() -> Table:
    return Table(tuple((word.value, WORD_MEANINGS[word]) for word in Word))


REVIEW_PAGE: Page = (
    "The headline is what would help most next time. It rests on what the scale saw; below it"
    " stand the figures.",
    "",
    "EVEN? says whether the flow within the stage was a steady hand's, and by how much it"
    ' wandered. "unsure" is above the limit, but by less than its own error.',
    "",
    "Above the chart, ! marks what the hand did, a double line where the scale was disturbed, and"
    " m and n your own marks and notes. Below it runs the flow, with the band within which a pour's"
    " flow is even, and how far the weight was off the target.",
    "",
    _NO_SIGHT,
    "",
    Table(
        (
            ("space, 1-9", "look at a stage, large"),
            ("0", "the whole brew"),
            ("d", "all that was noted"),
            ("r", "replay, from the stage that is shown"),
            ("k", "cup notes: scores on your own scale"),
            ("v", "compare with another brew"),
            ("b", "brew again"),
            ("l", "say how the bed looked"),
            ("t", "say how it tasted"),
            ("c", "say what was changed"),
            ("a", "what to change next"),
            ("n", "write a note"),
            ("e", "write it into a file: page, table, figures, chart or text"),
            ("s", "strength and extraction"),
            ("w", "brew water"),
            ("esc", "back; q quits"),
        )
    ),
)

START_PAGE: Page = (
    "Pick a scale on the left and a plan in the middle, then press Enter to brew. With the"
    " recordings in focus Enter plays the one picked.",
    "",
    "A simulated scale pours by itself: a way to see what a brew looks like before there is a"
    " scale.",
    "",
    Table(
        (
            ("enter, space", "brew; replay"),
            ("tab, left, right", "the next list"),
            ("up, down", "pick"),
            ("r", "replay the recording picked"),
            ("d", "drills: practise one on the scale picked"),
            ("k", "kept brews: search, look at, compare, note on, delete"),
            ("l", "look again for scales and recordings"),
            ("a", "type a scale address"),
            ("p", "open a plan file"),
            ("f", "open a recording"),
            ("y", "say who brews"),
            ("o", "what stands on the scale"),
            ("s", "strength and extraction"),
            ("w", "brew water"),
            ("q", "quit"),
        )
    ),
    "",
    "With the server alone on the scale what drips out is weighed: the pours themselves cannot be"
    " judged then.",
    "",
    "What the program keeps stays on this machine.",
)

STRENGTH_PAGE: Page = (
    "Type the strength that a refractometer shows, in percent dissolved solids, the coffee in the"
    " server, weighed, and the dry coffee. With the water poured in all, a mass given for the other"
    " is found out.",
    "",
    "Without the weighed coffee the extraction follows from the water, less surely: what the"
    " grounds keep is then taken from common practice.",
    "",
    "Let the sample cool and filter it; hot samples read wrong and hot glass breaks prisms and"
    " burns fingers.",
    "",
    Table(
        (
            ("tab, enter", "next field"),
            ("f2", "keep with the brew"),
            ("f3", "why"),
            ("pgup, pgdn", "scroll"),
            ("esc", "back"),
        )
    ),
)

WATER_PAGE: Page = (
    "Type what a test kit, a meter or the supplier's report says, with its unit: 8 dH, 5 dKH,"
    " 4 gpg, 2.4 mval/L, 120 mg/L HCO3; a bare number is mg/L, hardness and alkalinity as calcium"
    " carbonate. What is left empty is unknown, and said to be.",
    "",
    "The source is one of mains, bottled, demineralised, well, roof, surface. Water from a well, a"
    " roof, a spring or a stream is not judged before a laboratory has found it fit to drink:"
    " whether a water is safe is for the local authority, not for this program.",
    "",
    Table(
        (
            ("tab, enter", "next field"),
            ("f2", "save under a name"),
            ("f3", "why"),
            ("f4", "a saved water"),
            ("pgup, pgdn", "scroll"),
            ("esc", "back"),
        )
    ),
)
