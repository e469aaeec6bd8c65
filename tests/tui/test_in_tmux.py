"""In a real terminal: the screen read back, and what is left of it when the program ends."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from pourcoach.recordings.tape import Tape, read_tape

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="needs tmux")

REPOSITORY = Path(__file__).parents[2]
PATIENCE_S = 30.0
"""For a busy machine; nothing here waits for time to pass, only for what must come."""
BREW = f"{sys.executable} -m pourcoach brew --scale 'sim:steady?speed=8' --no-config"
STATUS = re.compile(r"^status=(\d+)", re.MULTILINE)
RESTORED = "0 0"
"""Neither the alternate screen nor mouse reporting."""


class Terminal:
    """A shell in a tmux of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._socket = f"pourcoach-test-{os.getpid()}-{folder.name}"
        environ = {
            **os.environ,
            "POURCOACH_HOME": str(folder),
            "PYTHONPATH": str(REPOSITORY),
            "PS1": "$ ",
            "COLORTERM": "truecolor",
        }
        self._call(
            "-f", os.devnull, "new-session", "-d", "-x", "100", "-y", "30", "sh", env=environ
        )

    def _call(self, *arguments: str, env: dict[str, str] | None = None) -> str:
        done = subprocess.run(
            ["tmux", "-L", self._socket, *arguments],
            check=True,
            capture_output=True,
            text=True,
            env=env,
            cwd=self.folder,
        )
        return done.stdout

    def close(self) -> None:
        subprocess.run(
            ["tmux", "-L", self._socket, "kill-server"], capture_output=True, check=False
        )

    def run(self, command: str) -> None:
        """Type a command, so that the shell prints its exit status when it is over."""
        self._call("send-keys", "-l", f"{command}; echo status=$?")
        self.press("Enter")

    def press(self, *keys: str) -> None:
        self._call("send-keys", *keys)

    def screen(self) -> str:
        return self._call("capture-pane", "-p")

    def modes(self) -> str:
        """Alternate screen and mouse reporting, each 0 or 1."""
        return self._call("display", "-p", "#{alternate_on} #{mouse_any_flag}").strip()

    def program(self) -> int:
        """Process id of what the shell runs now."""
        shell = self._call("display", "-p", "#{pane_pid}").strip()
        done = subprocess.run(["pgrep", "-P", shell], capture_output=True, text=True, check=True)
        return int(done.stdout.split()[0])

    def wait_for(self, *texts: str) -> str:
        """The screen once it holds one of ``texts``."""
        return until(self.screen, lambda screen: any(text in screen for text in texts))

    def status(self) -> int:
        """Exit status of what was run, once it is over."""
        screen = until(self.screen, lambda screen: STATUS.search(screen) is not None)
        found = STATUS.search(screen)
        assert found is not None
        return int(found[1])

    def tape(self) -> Tape:
        return read_tape(self._tape_path())

    def tape_text(self) -> str:
        """The tape as it is now, while it is written."""
        return self._tape_path().read_text(encoding="utf-8")

    def _tape_path(self) -> Path:
        (path,) = (self.folder / "tapes").iterdir()
        return path


def until(look: Callable[[], str], good: Callable[[str], bool]) -> str:
    end_s = time.monotonic() + PATIENCE_S
    while True:
        seen = look()
        if good(seen):
            return seen
        assert time.monotonic() < end_s, f"this is all that came:\n{seen}"
        time.sleep(0.05)


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    terminal = Terminal(tmp_path)
    yield terminal
    terminal.close()


def test_a_brew_from_start_to_review(terminal: Terminal) -> None:
    quick = BREW.replace("speed=8", "speed=20")
    terminal.run(f"{quick} --dose 8 --water 80 --pours 1 --bloom-wait 5")
    terminal.wait_for("FLOW g/s")
    assert terminal.modes() == "1 1"
    terminal.wait_for("pour 1")
    terminal.wait_for("EVEN?")
    terminal.press("1")
    terminal.press("q")
    assert terminal.status() == 0
    assert "The recording is" in terminal.screen()
    assert terminal.modes() == RESTORED
    assert terminal.tape().end_s is not None


def test_a_tare_goes_to_the_scale_and_on_the_tape(terminal: Terminal) -> None:
    terminal.run(BREW)
    terminal.wait_for("FLOW g/s")
    terminal.press("t")
    until(terminal.tape_text, lambda text: '"input": "tare"' in text)
    terminal.press("q")
    asked = "Stop this brew?"
    shown = until(terminal.screen, lambda screen: asked in screen or bool(STATUS.search(screen)))
    if asked in shown:  # The simulated hand has begun to pour by now.
        terminal.press("y")
    assert terminal.status() == 0


def test_ctrl_c_stops_and_saves_then_leaves(terminal: Terminal) -> None:
    terminal.run(BREW)
    terminal.wait_for("Wait at")
    terminal.press("C-c")
    terminal.wait_for("Review")
    assert terminal.modes() == "1 1"
    terminal.press("C-c")
    assert terminal.status() == 0
    assert terminal.modes() == RESTORED
    assert terminal.tape().end_s is not None


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_to_end_saves_and_restores(terminal: Terminal, number: signal.Signals) -> None:
    terminal.run(BREW)
    terminal.wait_for("FLOW g/s")
    terminal.wait_for("BLOOM", "bloom")
    os.kill(terminal.program(), number)
    assert terminal.status() == 128 + number
    assert "The recording is" in terminal.screen()
    assert terminal.modes() == RESTORED
    assert terminal.tape().end_s is not None


def test_after_ctrl_z_and_fg_everything_is_painted_again(terminal: Terminal) -> None:
    terminal.run(BREW)
    terminal.wait_for("FLOW g/s")
    terminal.press("C-z")
    until(terminal.modes, lambda modes: modes == RESTORED)
    terminal.run("fg")
    shown = terminal.wait_for("FLOW g/s")
    shown = until(terminal.screen, lambda screen: "NEXT" in screen and "Help" in screen)
    assert "on target" in shown
    assert terminal.modes() == "1 1"


def test_a_closing_terminal_ends_the_program_and_keeps_the_tape(terminal: Terminal) -> None:
    terminal.run(BREW)
    terminal.wait_for("FLOW g/s")
    program = Path(f"/proc/{terminal.program()}")
    if not program.exists():
        pytest.skip("needs /proc to see the program go")
    terminal.close()
    until(lambda: str(program.exists()), lambda there: there == "False")
    assert terminal.tape().end_s is not None


CRASHING = """
from datetime import datetime
from pourcoach.session.live import live_brew
from pourcoach.session.settings import Settings
from pourcoach.session.rubric_in_use import rubric_in_use
from pourcoach.tui.flows import run_session
from pourcoach.tui.brew.brew_screen import BrewScreen

usual = BrewScreen.on_frame

def on_frame(self, frame):
    if frame.t_s > 8.0:
        raise ZeroDivisionError("made to fail")
    usual(self, frame)

BrewScreen.on_frame = on_frame
brew = live_brew("sim:steady?speed=8", None, Settings(), began=datetime.now().astimezone())
run_session(brew.session, rubric_in_use(), glyphs="auto", theme="dark", mouse=True)
"""


def test_a_fault_of_the_program_restores_the_terminal_and_keeps_the_tape(
    terminal: Terminal,
) -> None:
    script = terminal.folder / "crashing.py"
    script.write_text(CRASHING, encoding="utf-8")
    terminal.run(f"{sys.executable} {script}")
    assert terminal.status() == 1
    assert "ZeroDivisionError: made to fail" in terminal.screen()
    assert terminal.modes() == RESTORED
    assert terminal.tape().inputs[-1].t_s > 7.5
