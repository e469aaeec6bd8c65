"""The page's address as a QR code of characters, for a phone's camera."""

import io


def qr_lines(text: str) -> list[str]:
    """Half blocks, dark on light as cameras want it; two rows of modules to a line."""
    import segno

    stream = io.StringIO()
    segno.make(text, error="l", micro=False).terminal(out=stream, border=2, compact=True)
    return stream.getvalue().splitlines()
