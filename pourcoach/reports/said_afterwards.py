"""What was said of a brew after it, in sentences."""

from collections.abc import Iterable, Iterator

from pourcoach.domain.afterwards import (
    Afterword,
    CupNote,
    FactKind,
    Remark,
    StrengthReading,
    current_facts,
    current_tags,
)


def said_sentences(words: Iterable[Afterword]) -> list[str]:
    """Coffee, water and tags as they hold now, then cup, strength, bed and remarks in order of
    time. ``words`` are oldest first.
    """
    words = list(words)
    facts = current_facts(words)
    told = [
        f"{kind.value.capitalize()}: {facts[kind]}"
        for kind in (FactKind.COFFEE, FactKind.WATER)
        if facts.get(kind)
    ]
    tags = current_tags(words)
    if tags:
        told.append(f"Tags: {', '.join(tags)}")
    return [*told, *_sentences(words)]


def _sentences(words: Iterable[Afterword]) -> Iterator[str]:
    for word in words:
        match word:
            case CupNote():
                scores = ", ".join(f"{quality} {score:g}" for quality, score in word.scores.items())
                on = f" (of {word.least:g} to {word.most:g})" if scores else ""
                yield f"Cup: {'; '.join(part for part in (f'{scores}{on}', word.text) if part)}"
            case StrengthReading(strength, error, beverage_g):
                weighed = "" if beverage_g is None else f", {beverage_g:.0f} g in the cup"
                yield f"Strength: {100 * strength:.2f} ± {100 * error:.2f} %{weighed}"
            case Remark(kind, text):
                yield f"{kind.value.capitalize()}: {text}"
