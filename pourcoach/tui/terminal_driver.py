"""Textual's driver, for a terminal that may go while the program runs."""

import sys
from contextlib import suppress
from typing import Any, TextIO

from textual.driver import Driver

if sys.platform == "win32":
    TERMINAL_DRIVER: type[Driver] | None = None
else:
    from textual.drivers.linux_driver import LinuxDriver

    class _KeptOutput:
        """Drops what a terminal that is gone does not take.

        Textual's writer would end with the error, and the loop then wait for it without end, a
        second's worth of drawings later: no reading would be kept, no signal heeded.
        """

        def __init__(self, file: TextIO) -> None:
            self._file = file
            self.fileno = file.fileno

        def write(self, text: str) -> None:
            with suppress(OSError):
                self._file.write(text)

        def flush(self) -> None:
            with suppress(OSError):
                self._file.flush()

    class _TerminalDriver(LinuxDriver):
        def __init__(self, *args: Any, **options: Any) -> None:
            super().__init__(*args, **options)
            self._file: Any = _KeptOutput(self._file)

    TERMINAL_DRIVER = _TerminalDriver
