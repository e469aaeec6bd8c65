"""What was said of a brew after it, in sentences."""

from collections.abc import Iterable

from pourcoach.domain.afterwards import (
    Afterword,
    CupNote,
    FactKind,
    Remark,
    StrengthReading,
    current_facts,
    current_tags,
)
from pourcoach.wording.afterwards import afterword_sentence


def said_sentences(words: Iterable[Afterword]) -> list[str]:
    """Coffee, water and tags as they hold now, then cup, strength, bed and remarks in order of
    time. ``words`` are oldest first.
    """
    words = list(words)
    facts = current_facts(words)
    lines = [
        f"{kind.value.capitalize()}: {facts[kind]}"
        for kind in (FactKind.COFFEE, FactKind.WATER)
        if facts.get(kind)
    ]
    tags = current_tags(words)
    if tags:
        lines.append(f"Tags: {', '.join(tags)}")
    kept = (CupNote, StrengthReading, Remark)
    return lines + [afterword_sentence(word) for word in words if isinstance(word, kept)]
