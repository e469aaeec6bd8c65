from pourcoach.recordings import packed_copy
from pourcoach.recordings.packed_copy import PackedCopy


def test_whatever_is_added_is_given_back_whole_at_any_time() -> None:
    copy, whole = PackedCopy(), b""
    for number in range(4000):
        line = b"[%d.%d, 0.1]\n" % divmod(number, 10)
        copy.add(line)
        whole += line
        if number % 500 == 0:
            assert copy.data() == whole
    assert copy.data() == whole


def test_lines_are_packed_many_at_once() -> None:
    """Each packing lets go of the interpreter, and a busy thread then holds the brew up."""
    packed: list[int] = []

    class Counting:
        def compress(self, data: bytes) -> bytes:
            packed.append(len(data))
            return b""

    copy = PackedCopy()
    copy._packing = Counting()  # type: ignore[assignment]
    for _ in range(10_000):
        copy.add(b"[12.3456, 123.4]\n")
    assert min(packed) >= packed_copy._AT_ONCE
    assert len(packed) < 20
