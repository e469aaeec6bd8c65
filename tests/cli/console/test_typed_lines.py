"""Lines come out whole, however their characters come in."""

from pourcoach.cli.console.typed_lines import CommandLines, TypedLine


def test_a_stream_gives_its_lines_however_it_is_cut() -> None:
    lines = CommandLines()
    taken = [lines.take(piece) for piece in ("t\ng", "o\r\n \n\n", "e ", "7 ", "\nq")]
    assert taken == [["t"], ["go"], [], [], ["e 7"]]


def test_a_typed_line_is_echoed_rubbed_out_and_begun_anew() -> None:
    shown: list[str] = []
    line = TypedLine(shown.append)
    assert [line.take(key) for key in "\b12\x7f\x1b5\r"] == [None] * 6 + ["15"]
    assert "".join(shown) == "12\b \b5\n"
    assert line.take("\n") == ""
