"""What is wrong with what a file holds: status 1, one line that names the file, no traceback."""

from pathlib import Path

import pytest

from pourcoach.cli.main import FAILED, main

BROKEN = {
    "broken.toml": b"[",
    "wrong.toml": b"sort = 'of'\n",
    "bytes.toml": b"\xff\xfe",
    "broken.json": b"{",
    "deep.json": b"[" * 100_000,
    "wrong.json": b'{"a": 1}',
    "wrong.jsonl": b"coffee\n",
    "cut.jsonl.gz": b"\x1f\x8b\x08\x00",
}
TOML = ["broken.toml", "wrong.toml", "bytes.toml", "none.toml", "folder"]
JSON = ["broken.json", "deep.json", "wrong.json", "bytes.toml", "none.json", "folder"]
TAPES = ["wrong.jsonl", "cut.jsonl.gz", "none.jsonl", "bytes.toml"]

READING = [
    *((["plan", "--plan", name], name) for name in TOML),
    *((["analyse", "mine.jsonl", "--rubric", name], name) for name in TOML),
    *((["scales", "--live", f"serial:/dev/null?as={name}"], name) for name in TOML[:4]),
    *((["check", "--from", name], name) for name in JSON),
    *((["calibrate", "--scale", "serial:/dev/ttyX", "--from", name], name) for name in JSON),
    *((["scales", "describe", "serial:X", "--name", "x", "--from", name], name) for name in JSON),
    *((["analyse", name], name) for name in TAPES),
    *((["replay", "--plain", name], name) for name in TAPES),
    *((["strength", "--recording", name, "--tds", "1.3"], name) for name in TAPES),
    *((["advise", "--recording", name], name) for name in TAPES),
]


@pytest.fixture(autouse=True)
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name, content in BROKEN.items():
        Path(name).write_bytes(content)
    Path("folder").mkdir()


@pytest.mark.parametrize(("argv", "name"), READING)
def test_a_broken_file_is_named_in_one_line(
    argv: list[str], name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(argv) == FAILED
    printed = capsys.readouterr().err
    assert printed.startswith("pourcoach: ")
    assert printed.count("\n") == 1
    assert name in printed
    assert "Errno" not in printed


@pytest.mark.parametrize(
    ("name", "argv"),
    [
        ("config.toml", ["plan"]),
        ("rubric.toml", ["analyse", "mine.jsonl"]),
        ("waters.toml", ["water", "list"]),
        ("scale-names.toml", ["scales", "--no-bluetooth"]),
        ("calibrations.toml", ["calibrate", "--scale", "serial:/dev/ttyX", "--show"]),
    ],
)
@pytest.mark.parametrize("content", [b"[", b"\xff\xfe", None])
def test_a_broken_file_of_the_programs_own_is_named_too(
    name: str,
    argv: list[str],
    content: bytes | None,
    home: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    home.mkdir()
    if content is None:
        (home / name).mkdir()
    else:
        (home / name).write_bytes(content)
    assert main(argv) == FAILED
    printed = capsys.readouterr().err
    assert str(home / name) in printed
    assert printed.count("\n") == 1
    assert "Errno" not in printed


def test_a_folder_that_cannot_be_read_is_named_and_is_not_the_output(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refused(self: Path) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "iterdir", refused)
    assert main(["analyse", "folder"]) == FAILED
    printed = capsys.readouterr().err
    assert printed.startswith("pourcoach: cannot read the folder folder: it is not yours to use")
    assert printed.count("\n") == 1
