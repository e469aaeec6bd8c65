"""The set of sounds as a module for browsers: the same that the terminal program plays."""

from pourcoach.domain.printable import json_text
from pourcoach.wording.motifs import (
    CONCERT_HZ,
    GLIDE_S,
    MOTIFS,
    PITCH_REACH_G,
    POURING_WORDS,
    USUAL_FLOW_GPS,
)


def motifs_js() -> str:
    """MOTIFS: by word ``says`` and ``tones``, each [semitones, start, length in seconds]; PITCH:
    what the pitch follows."""
    motifs = {
        word.value: {"says": motif.says, "tones": motif.tones} for word, motif in MOTIFS.items()
    }
    pitch = {
        "words": sorted(word.value for word in POURING_WORDS),
        "concert_hz": CONCERT_HZ,
        "reach_g": PITCH_REACH_G,
        "usual_flow_gps": USUAL_FLOW_GPS,
        "glide_s": GLIDE_S,
    }
    return f"export const MOTIFS = {json_text(motifs)};\nexport const PITCH = {json_text(pitch)};\n"
