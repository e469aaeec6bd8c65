"""Help on the practice screens."""

from pourcoach.scales.worked_out.kettle import CAN_AND_CANNOT
from pourcoach.tui.renderables.page import Page, Table
from pourcoach.wording.practice import SCHEDULE_CAUTION, WATER_CAUTION

PRACTICE_PAGE: Page = (
    "PRACTICE",
    "",
    "Read the task, tare (t), pour. Without help the screen shows nothing of the pour while the"
    " water runs: cover the scale's own display too. When the last pour has come to rest, say what"
    " you think you poured; only then, and some seconds after the pour, comes the result, where"
    " this pour has one.",
    "",
    Table(
        (
            ("POUR", "water is running; what you see of it is up to the mode"),
            ("GUESS?", "type what you think you poured, then Enter"),
            ("IN BAND", "all that is judged lay in its band"),
            (
                "OUT",
                "the figure farthest outside its band, with its sign: + is more, later, longer",
            ),
            ("KEPT", "this pour has no result; it counts all the same"),
            ("STOP", "the server is nearly full: stop whatever the task is"),
        )
    ),
    "",
    "Beginners have live help in the first block of five, and then no more. Fewer and fewer pours"
    " get a result: 100, 67, 50, 33 %. A test without help comes a day after practice and again"
    " after a week: skill is reported from those alone.",
    SCHEDULE_CAUTION,
    "",
    WATER_CAUTION,
    "",
    CAN_AND_CANNOT,
)
