import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.text_file import read_text, write_text, write_whole


def test_what_was_written_is_read(tmp_path):
    path = tmp_path / "a" / "plan.toml"
    write_whole(path, "größer = 1\n")
    assert read_text(path, "the plan file") == "größer = 1\n"
    write_text(path, "b = 2\n")
    assert read_text(path, "the plan file") == "b = 2\n"
    assert [each.name for each in path.parent.iterdir()] == ["plan.toml"]


def test_what_cannot_be_read_is_told_by_name_and_reason(tmp_path):
    path = tmp_path / "plan.toml"
    with pytest.raises(WorkError, match=r"^cannot read the plan file .*plan.toml: No such file"):
        read_text(path, "the plan file")
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(WorkError, match="it is not UTF-8 text"):
        read_text(path, "the plan file")


@pytest.mark.parametrize("write", [write_text, write_whole])
def test_what_cannot_be_written_is_told(write, tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(WorkError, match=r"^cannot write .*plan.toml: "):
        write(tmp_path / "file" / "plan.toml", "a = 1\n")
