"""A blind comparison on paper: the tasters' sheets, the server's list, and the result."""

from textwrap import wrap
from typing import Any

from pourcoach.tasting.answers import Tasting
from pourcoach.tasting.method import Method
from pourcoach.tasting.result import DifferenceResult

WIDTH = 72
CUT = "- " * (WIDTH // 2)
# Above 65 °C drinks are classed as probably carcinogenic (IARC Monographs 116, 2018) and hurt at
# about 67 °C (Foods 2018, 7, 83); taste is judged best somewhat cooler (common practice).
CAUTIONS = (
    "Hot: do not taste above 60 °C. A thermometer says so, the cup does not.",
    "Coffee holds caffeine: spit out where you taste much of it; ask for decaffeinated coffee, or "
    "do not take part, where caffeine is not for you (pregnancy, heart, medicines: ask your "
    "doctor).",
    "Tell the server of allergies before you taste: milk, nuts and flavourings may be in or on "
    "anything that is served here. Do not taste what you cannot be told about.",
)
RULES = (
    "Taste from left to right, at your own pace, with water in between.",
    "Do not go back to a cup, and do not talk about it until all have answered.",
    "Answer in any case: where you cannot tell, guess, and say so below.",
)


def tasting_lines(tasting: Tasting) -> list[str]:
    """A sheet for each taster, then the list for who serves: to be kept out of sight."""
    lines: list[str] = []
    for sheet in tasting.sheets:
        cups = "     ".join(f"[ ] {code}" for code in sheet.codes)
        reference = "R = reference, taste it first     " if sheet.reference else ""
        lines += [f"TASTER {sheet.taster}", "", *_wrapped(tasting.ask), ""]
        lines += [f"  {reference}{cups}", ""]
        lines += [line for rule in RULES for line in _item(rule)]
        lines += [line for caution in CAUTIONS for line in _item(caution, "! ")]
        lines += ["", "I guessed: [ ]     What made the difference:", "", CUT, ""]
    return lines + server_lines(tasting)


def server_lines(tasting: Tasting) -> list[str]:
    """Which cup holds what."""
    standard = tasting.method.standard
    lines = [
        f"FOR THE SERVER ONLY: {tasting.method.value} test after {standard}, seed {tasting.seed}",
        f"A = {tasting.a}",
        f"B = {tasting.b}",
        "",
    ]
    for sheet in tasting.sheets:
        cups = "  ".join(
            f"{code}={letter}" for code, letter in zip(sheet.codes, sheet.order, strict=True)
        )
        reference = f"R={sheet.reference}  " if sheet.reference else ""
        lines.append(f"taster {sheet.taster:>3}   {reference}{cups}")
    lines.append("")
    serve = (
        "Serve all cups in the same vessels, in the same amount and at the same temperature, "
        "55 to 60 °C, to all tasters; who serves does not talk to who tastes."
    )
    return lines + _wrapped(serve)


def result_figures(result: DifferenceResult) -> dict[str, Any]:
    """The figures of ``--json``."""
    return {
        "test": result.method.value,
        "correct": result.correct,
        "of": result.of,
        "two_sided": result.two_sided,
        "p_value": result.p_value,
        "pd": result.pd,
        "pd_error": result.pd_error,
        "pd_low": result.pd_low,
        "pd_high": result.pd_high,
        "correct_needed": result.needed,
        "power_at_pd": {f"{pd:g}": power for pd, power in result.power_at_pd.items()},
        "found": result.found,
        "says": tasting_sentence(result),
    }


def result_lines(result: DifferenceResult, *, one_taster: bool = False) -> list[str]:
    """The result as text."""
    lines = _wrapped(tasting_sentence(result, one_taster=one_taster))
    lines += [
        "",
        f"by guessing alone      p = {probability(result.p_value)} (exact binomial, "
        f"{'two' if result.two_sided else 'one'}-sided; {result.method.standard})",
        f"tasted the difference  {result.pd:.0%} (95 % interval {result.pd_low:.0%} to "
        f"{result.pd_high:.0%}; guessing taken off)",
    ]
    for pd, power in result.power_at_pd.items():
        lines.append(f"a difference that {pd:.0%} can taste is found by such a test in {power:.0%}")
    return lines


def tasting_sentence(result: DifferenceResult, *, one_taster: bool = False) -> str:
    """What was found, or what could have been."""
    count = f"{result.correct} of {result.of} answers were right"
    if result.two_sided:
        count = f"{result.correct} of {result.of} chose the same sample"
    by_guess = f"guessing alone does as well with a probability of {probability(result.p_value)}"
    if result.found:
        said = f"A difference was found: {count}, and {by_guess}."
    elif result.needed is None:
        said = (
            f"{result.of} answers are too few to find anything: {count}, and even if all were, "
            "guessing could have done it. It takes more tasters."
        )
    else:
        power = result.power_at_pd[0.5]
        said = (
            f"No difference was found: {count}, {result.needed} were needed, and {by_guess}. "
            "That does not show that there is none: of differences that half of all people can "
            f"taste, a test of {result.of} finds {power:.0%}."
        )
    if one_taster:
        said += " All answers are one taster's, so this holds for this taster only."
    elif result.found and result.method is not Method.PAIRED:
        said += " Which of the two is better the test does not say."
    return said


def probability(p: float) -> str:
    """Three digits, and never 0."""
    return "less than 0.0001" if p < 0.0001 else f"{p:.2g}" if p < 0.01 else f"{p:.3f}"


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDTH)


def _item(text: str, mark: str = "- ") -> list[str]:
    return wrap(text, WIDTH, initial_indent=mark, subsequent_indent="  ")
