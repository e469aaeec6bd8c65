"""``pourcoach sounds``: teaches what each word sounds like."""

import argparse
import time

from pourcoach.cli.options.settings_option import add_settings_option, settings_from
from pourcoach.cli.options.sound_option import add_volume_option, volume_from
from pourcoach.domain.advice import Word
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.wording import WORD_MEANINGS
from pourcoach.wording.motifs import MOTIFS

EXAMPLE = "pourcoach sounds stop more slow"
# Between one and the next: time to look at the word.
PAUSE_S = 0.7
EVIDENCE = (
    "Sound leaves the eyes on the stream. That it teaches better is not shown: in studies of "
    "movement,\nsound helped at once and was equal a day later, and sound of one's error made "
    "people lean on it.\nNobody has studied it for pouring coffee."
)


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "words", nargs="*", metavar="WORD", help="only these words (default: all of them)"
    )
    add_volume_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    settings = settings_from(args)
    volume = volume_from(args, settings)
    words = [_word(text) for text in args.words] or list(Word)
    from pourcoach.sound.mixer import Mixer
    from pourcoach.sound.player import Player
    from pourcoach.sound.synthesis import RATE_HZ, motif_samples

    mixer = Mixer(volume)
    player = Player(mixer.render)
    silent: WorkError | None = None
    try:
        player.start()
    except WorkError as error:
        silent = error
    for word in words:
        print(f"{word.value:<7} {MOTIFS[word].says:<30} {WORD_MEANINGS[word]}", flush=True)
        if silent is None:
            samples = motif_samples(word)
            mixer.play(samples)
            time.sleep(len(samples) / RATE_HZ + PAUSE_S)
    print(f"\n{EVIDENCE}", flush=True)
    player.close()
    if silent is not None:
        raise silent
    if player.trouble is not None:
        raise WorkError(player.trouble)
    return 0


def _word(text: str) -> Word:
    for word in Word:
        if text.upper().rstrip("?") == word.value.rstrip("?"):
            return word
    raise UsageError(
        f"there is no word {text!r:.60}", "use " + ", ".join(word.value.lower() for word in Word)
    )
