"""A program of the machine that speaks a word."""

import shutil
import subprocess
import threading
from collections.abc import Sequence

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError

# By their own manuals, each takes the words to speak as an argument.
_SPEAKERS: Sequence[Sequence[str]] = (
    ("espeak-ng",),
    ("espeak",),
    ("spd-say",),
    ("say",),  # macOS
)


class Speaker:
    """One word at a time, the newest."""

    def __init__(self) -> None:
        """Raises WorkError where no such program is found."""
        found = ((shutil.which(name), rest) for name, *rest in _SPEAKERS)
        command = next(((path, *rest) for path, rest in found if path is not None), None)
        if command is None:
            names = ", ".join(name for name, *_ in _SPEAKERS)
            raise WorkError(f"no speech: none of {names} was found", "install one of them")
        self._command = command
        self._speaking: subprocess.Popen[bytes] | None = None
        self._lock = threading.Lock()

    def say(self, word: Word) -> None:
        """Begin to speak it, and break off what is spoken still; returns at once."""
        spoken = word.value.rstrip("?").lower()
        # To start a program takes longer than the next samples may.
        threading.Thread(target=self._speak, args=(spoken,), name="speech", daemon=True).start()

    def _speak(self, text: str) -> None:
        with self._lock:
            self.close()
            try:
                self._speaking = subprocess.Popen(
                    (*self._command, text),
                    stdin=subprocess.DEVNULL,
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.DEVNULL,
                    start_new_session=True,
                )
            except OSError:
                self._speaking = None  # taken away since; the words are still played and shown

    def close(self) -> None:
        """Break off."""
        speaking = self._speaking
        if speaking is not None:
            speaking.kill()
            speaking.wait()
