"""What is said of a brew afterwards, in words: the same in lists, reviews, forms and reports."""

from pourcoach.domain.afterwards import Afterword, CupNote, Fact, Remark, StrengthReading, Tag


def afterword_text(word: Afterword) -> str:
    """The word itself, without what it is about."""
    match word:
        case CupNote():
            scores = ", ".join(f"{quality} {score:g}" for quality, score in word.scores.items())
            on = f"{scores} (of {word.least:g} to {word.most:g})" if scores else ""
            return "; ".join(part for part in (on, word.text) if part)
        case StrengthReading(strength, error, beverage_g):
            weighed = "" if beverage_g is None else f", {beverage_g:.0f} g in the cup"
            return f"{100 * strength:.2f} ± {100 * error:.2f} %{weighed}"
        case Remark(_, text):
            return text
        case Fact(_, name):
            return name or "not named"
        case Tag(name, _, on):
            return name if on else f"not {name}"


def afterword_sentence(word: Afterword) -> str:
    """What it is about, and the word."""
    match word:
        case CupNote():
            about = "cup"
        case StrengthReading():
            about = "strength"
        case Remark(kind) | Fact(kind):
            about = kind.value
        case Tag():
            about = "tag"
    return f"{about.capitalize()}: {afterword_text(word)}"
