"""Damages a file's bytes, the same way for the same seed."""

import random

_VALUES = (
    b"0", b"-1", b"1e300", b"-1e308", b"1e-300", b"Infinity", b"NaN", b"nan", b"inf", b"null",
    b"true", b'""', b'"x"', b"[]", b"{}", b"[[[[]]]]", b"9" * 400, b"1" + b"0" * 5000, b"0.0",
    b"-0.0", b"1e15", b"99999999999", b'"\\u0000"', b'"\\ud800"', b'"\\u001b[2J"',
)  # fmt: skip
_BYTES = (
    b"\x00",
    b"\xff",
    b"\x1b[2J",
    b"\n",
    b"\r",
    b'"',
    b"[",
    b"]",
    b"{",
    b"}",
    b",",
    b"=",
    b"#",
)


def mutated(data: bytes, chance: random.Random) -> bytes:
    """``data`` with one to four kinds of damage."""
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        data = chance.choice(_KINDS)(data, chance)
    return data


def _flip(data: bytes, chance: random.Random) -> bytes:
    if not data:
        return data
    place = chance.randrange(len(data))
    return data[:place] + bytes([chance.randrange(256)]) + data[place + 1 :]


def _cut(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _drop(data: bytes, chance: random.Random) -> bytes:
    begin = chance.randrange(len(data) + 1)
    return data[:begin] + data[begin + chance.randrange(1, 40) :]


def _repeat(data: bytes, chance: random.Random) -> bytes:
    begin = chance.randrange(len(data) + 1)
    piece = data[begin : begin + chance.randrange(1, 200)]
    return data[:begin] + piece * chance.choice((2, 3, 50)) + data[begin:]


def _insert(data: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(len(data) + 1)
    return data[:place] + chance.choice(_BYTES) * chance.choice((1, 1, 3)) + data[place:]


def _swap_lines(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return b"\n".join(lines)


def _another_value(data: bytes, chance: random.Random) -> bytes:
    """A number or a text becomes something else, where the grammar stays whole."""
    places = [
        i for i, byte in enumerate(data) if byte in b"0123456789" and data[i - 1 : i] in _BEFORE
    ]
    if not places:
        return _flip(data, chance)
    begin = chance.choice(places)
    end = begin
    while end < len(data) and data[end : end + 1] in _NUMBER:
        end += 1
    return data[:begin] + chance.choice(_VALUES) + data[end:]


def _deep(data: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(len(data) + 1)
    return data[:place] + b"[" * chance.choice((10, 2000, 60_000)) + data[place:]


_BEFORE = {b" ", b"[", b":", b"=", b",", b""}
_NUMBER = {bytes([byte]) for byte in b"0123456789.eE+-"}
_KINDS = (
    _flip, _flip, _cut, _drop, _repeat, _insert, _swap_lines, _another_value, _another_value,
    _another_value, _deep,
)  # fmt: skip
