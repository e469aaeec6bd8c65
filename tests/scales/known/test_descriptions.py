"""Descriptions by name and by file; every shipped one is whole."""

from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.scales.known.descriptions import (
    _shipped,
    description_names,
    descriptions_folder,
    find_description,
)
from pourcoach.wire.description import Transport


@pytest.mark.parametrize("name", sorted(_shipped()))
def test_shipped_descriptions_are_whole(name: str) -> None:
    assert find_description(name).name


def test_the_users_own_comes_before_a_shipped_one() -> None:
    descriptions_folder().mkdir(parents=True)
    own = descriptions_folder() / "reference-ble.toml"
    own.write_text('name = "mine"\ntransport = "serial"\n')
    (descriptions_folder() / "bench.toml").write_text('name = "bench"\ntransport = "serial"\n')
    assert find_description("reference-ble").name == "mine"
    assert find_description("bench").transport is Transport.SERIAL
    assert find_description(str(own)).name == "mine"
    assert "bench" in description_names()


def test_an_unknown_name_is_answered_with_the_known_ones() -> None:
    with pytest.raises(UsageError, match="known are bench-9600-7e1, reference-ble"):
        find_description("nosuch")


def test_a_broken_file_is_named_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "broken.toml"
    path.write_text('name = "x"\ntransport = "pigeon"\n')
    with pytest.raises(WorkError, match=r"broken\.toml: the scale description, line 2: transport"):
        find_description(str(path))


def test_a_missing_file_is_reported(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match="there is no such file"):
        find_description(str(tmp_path / "none.toml"))
