"""config.toml: what may stand in it, and what is said of the rest."""

from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.session.settings import Settings, read_settings


def read(folder: Path, text: str) -> Settings:
    path = folder / "config.toml"
    path.write_text(text, encoding="utf-8")
    return read_settings(path)


def test_no_file_gives_the_defaults(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "config.toml") == Settings()


def test_every_key_is_taken(tmp_path: Path) -> None:
    text = """
        scale = "sim:steady"
        by = "Ada"
        glyphs = "ascii"
        theme = "light"
        reaction_s = 0.3
        scale_delay_s = 0.2
        fall_height_cm = 12
        sound = "words,pitch"
        volume = 30
        [plan]
        dose_g = 18
    """
    assert read(tmp_path, text) == Settings(
        "sim:steady",
        "Ada",
        "ascii",
        "light",
        0.3,
        0.2,
        12.0,
        {"dose_g": 18},
        "words,pitch",
        30,
    )


def test_an_unknown_key_is_named(tmp_path: Path) -> None:
    assert read(tmp_path, 'sclae = "sim:steady"').unknown == ("sclae",)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("volume = 101", "make it a number from 0 to 100"),
        ("glyphs = 'huge'", "glyphs is 'huge'; use one of auto, full"),
        ("theme = 3", "theme is 3"),
        ("scale = ''", "scale is ''"),
        ("by = 'Ada'\nreaction_s = 9", r"line 2: reaction_s is 9; .* 0 to 1\.5, or use"),
        ("reaction_s = true", "reaction_s is True"),
        ("scale_delay_s = nan", "scale_delay_s is nan"),
        ("plan = 4", r"config\.toml, line 1: plan is 4; make it a table"),
        ("[plan]\ndoze_g = 20", r"config\.toml, line 2: plan\.doze_g is not known here"),
    ],
)
def test_a_wrong_value_is_reported_with_what_to_do(tmp_path: Path, text: str, why: str) -> None:
    with pytest.raises(WorkError, match=why):
        read(tmp_path, text)


def test_what_is_no_toml_is_reported(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match=r"config\.toml is not TOML: .*line 1.*--no-config"):
        read(tmp_path, "scale = \n")
