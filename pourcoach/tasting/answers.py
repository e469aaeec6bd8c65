"""A tasting as it is kept: what is compared, who was served what, and what they answered."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import LONGEST_NAME, printable
from pourcoach.tasting.method import Method
from pourcoach.tasting.result import DifferenceResult, difference_result
from pourcoach.tasting.serving import MOST_TASTERS, Sheet, deal

VERSION = 1
USUAL_QUALITY = "stronger"
LARGEST_SEED = 2**32 - 1


@dataclass(frozen=True, slots=True)
class Tasting:
    """One blind comparison of A and B."""

    method: Method
    a: str
    """What sample A is, for whoever serves; no taster's sheet shows it."""
    b: str
    tasters: int
    """How many are served."""
    seed: int
    """What codes and orders are drawn from."""
    quality: str = ""
    """What a paired comparison asks for, as "more sour"; empty for USUAL_QUALITY, and for the
    other tests."""
    expected: str | None = None
    """A or B, where a paired comparison was set up to show that this one has more of it."""
    answers: Mapping[int, str] = field(default_factory=dict)
    """Taster → the code that was chosen."""

    def __post_init__(self) -> None:
        """Raises UsageError for two samples of one name, and for a quality or an expected sample
        in a test that has none."""
        if self.a == self.b:
            raise UsageError(f"both samples are called {self.a!r}", "give them different names")
        if self.method is not Method.PAIRED and (self.quality or self.expected is not None):
            raise UsageError(
                f"a {self.method.value} test asks for no quality and expects no sample",
                "leave --quality and --expect to --test paired",
            )

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """Drawn anew from the seed each time."""
        return deal(self.method, self.tasters, self.seed)

    @property
    def ask(self) -> str:
        """What the tasters are asked."""
        return self.method.ask.format(quality=self.quality or USUAL_QUALITY)

    def right(self, sheet: Sheet) -> str | None:
        """The code of the right answer; None in a comparison that expects none."""
        match self.method:
            case Method.TRIANGLE:
                odd = next(letter for letter in "AB" if sheet.order.count(letter) == 1)
                return sheet.codes[sheet.order.index(odd)]
            case Method.DUO_TRIO:
                return sheet.codes[sheet.order.index(sheet.reference or "A")]
            case Method.PAIRED:
                if self.expected is None:
                    return None
                return sheet.codes[sheet.order.index(self.expected)]

    def result(self) -> DifferenceResult | None:
        """Of the answers so far; None before the first."""
        given = [(sheet, self.answers.get(sheet.taster)) for sheet in self.sheets]
        answered = [(sheet, code) for sheet, code in given if code is not None]
        if not answered:
            return None
        two_sided = self.method is Method.PAIRED and self.expected is None
        if two_sided:
            correct = sum(sheet.sample(code) == "A" for sheet, code in answered)
        else:
            correct = sum(code == self.right(sheet) for sheet, code in answered)
        return difference_result(self.method, correct, len(answered), two_sided=two_sided)


def tasting_dict(tasting: Tasting) -> dict[str, Any]:
    """As it is written; the sheets stand in it for whoever reads it without this program."""
    return {
        "pourcoach_tasting": VERSION,
        "test": tasting.method.value,
        "a": tasting.a,
        "b": tasting.b,
        "quality": tasting.quality,
        "expected": tasting.expected,
        "seed": tasting.seed,
        "tasters": tasting.tasters,
        "sheets": [
            {"taster": sheet.taster, "order": sheet.order, "codes": list(sheet.codes)}
            | ({} if sheet.reference is None else {"reference": sheet.reference})
            for sheet in tasting.sheets
        ],
        "answers": {str(taster): code for taster, code in sorted(tasting.answers.items())},
    }


def read_tasting(data: Any) -> Tasting:
    """The tasting that ``tasting_dict`` wrote. Raises UsageError for what is none, or is of another
    version."""
    table = CheckedTable("the tasting", data if isinstance(data, Mapping) else {})
    version = table.raw("pourcoach_tasting")
    if version is None:
        raise UsageError("this is no tasting", "make one with 'pourcoach taste new --out FILE'")
    if version != VERSION:
        raise table.wrong(
            "pourcoach_tasting", f"is {version!r:.20}", f"this program reads version {VERSION}"
        )
    tasting = Tasting(
        table.member("test", Method),
        table.words("a", longest=LONGEST_NAME),
        table.words("b", longest=LONGEST_NAME),
        table.whole("tasters", 1, MOST_TASTERS),
        table.whole("seed", 0, LARGEST_SEED),
        printable(table.text("quality", "")),
        table.one_of("expected", {"A": "A", "B": "B"}) if "expected" in table else None,
    )
    return with_answers(tasting, table.raw("answers"))


def with_answers(tasting: Tasting, answers: Any) -> Tasting:
    """The tasting with the answers that a file holds: none, or an object from taster to code.

    Raises UsageError for anything else, and where an answer is none of the taster's codes.
    """
    if answers is None:
        return tasting
    if not isinstance(answers, Mapping):
        raise UsageError(
            f"the tasting's answers are {answers!r:.20}",
            "write them as an object from taster to code",
        )
    sheets = {str(sheet.taster): sheet for sheet in tasting.sheets}
    read = {}
    for taster, code in answers.items():
        sheet = sheets.get(taster)
        if sheet is None or not isinstance(code, str) or sheet.sample(code) is None:
            raise UsageError(
                f"taster {taster!r:.20} cannot have answered {code!r:.20}",
                "an answer is one of the codes on the taster's own sheet",
            )
        read[sheet.taster] = code
    return replace(tasting, answers=read)
