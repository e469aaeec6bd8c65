"""Cues, flags and risks in plain sentences: one wording for screen, plain text and report."""

from pourcoach.wording.cues import arrangement_sentence, cue_sentence, next_line
from pourcoach.wording.figures import countdown, seconds
from pourcoach.wording.flag_words import FlagWords
from pourcoach.wording.flags import RECORDS, flag_sentence, flag_title, flag_words
from pourcoach.wording.keys import key_sentence, moment_clock, moment_words
from pourcoach.wording.replans import replan_sentence
from pourcoach.wording.review import Fix, bed_sentence, one_thing_to_fix, risk_sentences
from pourcoach.wording.scale import trouble_sentence
from pourcoach.wording.words import WORD_MEANINGS

__all__ = [
    "RECORDS",
    "WORD_MEANINGS",
    "Fix",
    "FlagWords",
    "arrangement_sentence",
    "bed_sentence",
    "countdown",
    "cue_sentence",
    "flag_sentence",
    "flag_title",
    "flag_words",
    "key_sentence",
    "moment_clock",
    "moment_words",
    "next_line",
    "one_thing_to_fix",
    "replan_sentence",
    "risk_sentences",
    "seconds",
    "trouble_sentence",
]
