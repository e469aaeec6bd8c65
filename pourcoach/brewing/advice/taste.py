"""Taste words in trade use, and what each may point to."""

import re
from enum import Enum

from pourcoach.domain.errors import UsageError


class Taste(Enum):
    """What a cup tastes of, in the words that dialling in uses."""

    SOUR = "sour"
    BITTER = "bitter"
    DRYING = "drying"
    THIN = "thin"
    HEAVY = "heavy"
    FLAT = "flat"
    SALTY = "salty"
    BALANCED = "balanced"


_OTHER_WORDS = {
    "sharp": Taste.SOUR,
    "acidic": Taste.SOUR,
    "harsh": Taste.BITTER,
    "burnt": Taste.BITTER,
    "astringent": Taste.DRYING,
    "weak": Taste.THIN,
    "watery": Taste.THIN,
    "strong": Taste.HEAVY,
    "dull": Taste.FLAT,
    "chalky": Taste.FLAT,
    "sweet": Taste.BALANCED,
    "good": Taste.BALANCED,
}


def taste(word: str) -> Taste:
    """The taste that a word stands for. Raises UsageError listing the known words."""
    plain = word.strip().lower()
    if plain in _OTHER_WORDS:
        return _OTHER_WORDS[plain]
    try:
        return Taste(plain)
    except ValueError:
        known = ", ".join([*(one.value for one in Taste), *_OTHER_WORDS])
        raise UsageError(f"unknown taste {word!r}", f"known words are {known}") from None


def tastes_in(remark: str) -> frozenset[Taste]:
    """The tastes of a remark made of known words only, as ``sour, thin``; else empty.

    A sentence is not read: "not bitter at all" must not count as bitter.
    """
    try:
        return frozenset(taste(word) for word in re.split(r"[\s,;]+", remark.strip()))
    except UsageError:
        return frozenset()
