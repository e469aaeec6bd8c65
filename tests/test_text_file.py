import errno
import os

import pytest

from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.text_file import (
    append_line,
    content_of,
    read_json,
    read_text,
    refuse_existing,
    write_atomically,
    write_text,
)


def test_what_was_written_is_read(tmp_path):
    path = tmp_path / "a" / "plan.toml"
    write_atomically(path, "größer = 1\n")
    assert read_text(path, "the plan file") == "größer = 1\n"
    write_text(path, "b = 2\n", over=True)
    assert read_text(path, "the plan file") == "b = 2\n"
    assert [each.name for each in path.parent.iterdir()] == ["plan.toml"]


def test_lines_are_added_for_the_owner_alone(tmp_path):
    path = tmp_path / "a" / "log.jsonl"
    append_line(path, "größer")
    append_line(path, "kleiner")
    assert path.read_text(encoding="utf-8") == "größer\nkleiner\n"
    if os.name == "posix":
        assert path.stat().st_mode & 0o777 == 0o600


def test_what_cannot_be_read_is_reported_by_name_and_reason(tmp_path):
    path = tmp_path / "plan.toml"
    with pytest.raises(
        WorkError, match=r"^cannot read the plan file .*plan.toml: there is no such file"
    ):
        read_text(path, "the plan file")
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(WorkError, match="it is not UTF-8 text"):
        read_text(path, "the plan file")


@pytest.mark.parametrize("write", [write_text, write_atomically])
def test_what_cannot_be_written_is_reported(write, tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(WorkError, match=r"^cannot write .*plan.toml: "):
        write(tmp_path / "file" / "plan.toml", "a = 1\n")


def test_what_is_there_already_is_not_written_over_unasked(tmp_path):
    path = tmp_path / "plan.toml"
    write_text(path, "mine = 1\n")
    for write in (lambda: write_text(path, "b = 2\n"), lambda: refuse_existing(path)):
        with pytest.raises(WorkError, match=r"plan.toml is there already; .* --force$"):
            write()
    assert path.read_text() == "mine = 1\n"
    refuse_existing(path, over=True)


def test_what_lies_beside_a_file_is_left_alone(tmp_path):
    """Also while it is written whole, and also where that fails."""
    (tmp_path / "plan.new").write_text("mine")
    write_atomically(tmp_path / "plan.toml", "a = 1\n")
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(WorkError, match="it is a folder"):
        write_atomically(tmp_path / "folder.toml", "a = 1\n")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["folder.toml", "plan.new", "plan.toml"]
    assert (tmp_path / "plan.new").read_text() == "mine"


@pytest.mark.parametrize("number", [errno.ENOENT, errno.EACCES, errno.ENOSPC, errno.EIO])
def test_no_number_of_an_error_reaches_the_user(number):
    words = reason(OSError(number, os.strerror(number)))
    assert words
    assert "Errno" not in words


def test_a_fault_of_the_content_is_the_files():
    with pytest.raises(WorkError, match=r"^plan\.toml: no dose; add one$"), content_of("plan.toml"):
        raise UsageError("no dose", "add one")


@pytest.mark.parametrize("text", ["{", "[" * 100_000, ""])
def test_what_is_no_json_is_reported(text, tmp_path):
    path = tmp_path / "a.json"
    path.write_text(text)
    with pytest.raises(WorkError, match=r"a\.json is no JSON"):
        read_json(path, "the record")
