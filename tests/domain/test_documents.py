"""JSON and TOML that nobody vouches for."""

import pytest

from pourcoach.domain.documents import DocumentError, from_json, from_toml, json_object


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("{", "no JSON"),
        ("[" * 100_000, "too deeply"),
        ('{"end": Infinity}', "Infinity is no number"),
        ("[1, NaN]", "NaN is no number"),
        ("9" * 5000, "300 digits or more"),
        ("[1" + "0" * 400 + "]", "300 digits or more"),
    ],
)
def test_broken_json_is_refused_in_a_few_words(text: str, why: str) -> None:
    with pytest.raises(DocumentError, match=why):
        from_json(text)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("b = 1\na = ]", "line 2"),
        ("a = " + "[" * 10_000, "too deeply"),
        ("a = " + "9" * 5000, "300 digits or more"),
        ("#" * 1_000_001, "longer than"),
    ],
)
def test_broken_toml_is_refused_in_a_few_words(text: str, why: str) -> None:
    with pytest.raises(DocumentError, match=why):
        from_toml(text)


def test_a_line_holds_an_object_or_none() -> None:
    assert json_object('{"by": "Zoë"}\n') == {"by": "Zoë"}
    assert json_object(b'{"by": "Zo\xff"}') == {"by": "Zo\ufffd"}
    assert [json_object(line) for line in ("", "[1]", '"by"', '{"by":', b"\xff")] == [None] * 5
