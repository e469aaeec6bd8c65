"""Lines over the board's USB or serial port."""

import select

LONGEST_COMMAND = 64
INTERRUPT = b"\x03"  # Ctrl+C


class SerialLink:
    def __init__(self, source, sink):
        """``source`` and ``sink`` are byte streams, such as sys.stdin.buffer and its partner."""
        self._source = source
        self._sink = sink
        self._poll = select.poll()
        self._poll.register(source, select.POLLIN)
        self._rest = b""
        self._interrupts = 0
        self.interrupted = False
        """Whether Ctrl+C came twice in a row: someone wants the prompt. Once may be rubbish."""

    def write(self, data):
        self._sink.write(data)

    def lines(self):
        """The complete lines that have come, without their ends. Never waits."""
        while self._poll.poll(0):
            byte = self._source.read(1)
            if not byte:
                break
            if byte == INTERRUPT:
                self._interrupts += 1
                self.interrupted = self.interrupted or self._interrupts == 2
                continue
            self._interrupts = 0
            if byte in b"\r\n":
                line, self._rest = self._rest, b""
                return [line] if line else []
            # An endless line of rubbish keeps only its tail.
            self._rest = (self._rest + byte)[-LONGEST_COMMAND:]
        return []
