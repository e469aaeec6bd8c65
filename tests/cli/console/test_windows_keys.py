"""Keys of a Windows console, from one that is made up."""

import pytest

from pourcoach.cli.console.windows_keys import read_key


class FakeConsole:
    """Presses that follow one another; those of one press are there at once."""

    def __init__(self, *presses: str) -> None:
        self._presses = [list(press) for press in presses]
        self._rest: list[str] = []

    def getwch(self) -> str:
        if not self._rest:
            self._rest = self._presses.pop(0)
        return self._rest.pop(0)

    def kbhit(self) -> bool:
        return bool(self._rest)


@pytest.mark.parametrize(
    ("presses", "keys"),
    [
        (("t", "\r", " ", "\b", "\x1b"), "t\r \b\x1b"),
        # Up, F1, left as they are sent, then a key.
        (("\xe0H", "\x00;", "\xe0K", "m"), "m"),
        (("ü", "ж", "m"), "üжm"),
        # The letter à has the code that an arrow begins with.
        (("\xe0", "t"), "àt"),
        # Beyond the first 65536 characters: two units; half of one is no character.
        (("\ud83d\ude00", "\udc00"), "😀?"),
    ],
)
def test_each_key_as_it_is_meant(presses: tuple[str, ...], keys: str) -> None:
    console = FakeConsole(*presses)
    assert "".join(read_key(console).decode() for _ in keys) == keys


def test_ctrl_c_interrupts_and_is_no_key() -> None:
    interrupted: list[str] = []
    key = read_key(FakeConsole("\x03", "q"), lambda: interrupted.append("SIGINT"))
    assert key == b"q"
    assert interrupted == ["SIGINT"]
