"""Where the page is served, and who may ask for it. Pure: the rules that keep strangers out.

Everything here answers to one attack or another: a page on another site whose name is made to lead
to this machine (DNS rebinding) sends its own name as Host; a page on another site that opens our
socket sends its own Origin; who only knows the address does not know the token. A browser never
sends the fragment of an address (RFC 9110, 7.1), so the token is in no log and no Referer.
"""

import hmac
import ipaddress
from dataclasses import dataclass
from typing import Self

from pourcoach.domain.errors import UsageError

LOOPBACK = "127.0.0.1"
_EXAMPLE = "write --page 8080 for this machine alone, or --page 0.0.0.0:8080 for all in the network"


@dataclass(frozen=True, slots=True)
class PageAddress:
    """``[HOST:]PORT`` as it was asked for."""

    host: str
    port: int
    """0 lets the system choose."""

    @classmethod
    def parse(cls, text: str) -> Self:
        """Raises UsageError saying what an address looks like."""
        host, colon, port = text.strip().rpartition(":")
        host = host.removeprefix("[").removesuffix("]")
        if not (port.isascii() and port.isdecimal() and len(port) <= 5 and int(port) <= 65535):
            raise UsageError(f"{text!r} is no address for a page", _EXAMPLE)
        if colon and not host:
            raise UsageError(f"{text!r} names no host", _EXAMPLE)
        if host == "localhost":
            host = LOOPBACK
        if host and as_ip(host) is None:
            raise UsageError(f"{host!r} is no address of this machine", _EXAMPLE)
        return cls(host or LOOPBACK, int(port))

    @property
    def on_loopback(self) -> bool:
        """Whether only this machine can reach it."""
        ip = as_ip(self.host)
        return ip is not None and ip.is_loopback


@dataclass(frozen=True, slots=True)
class Guard:
    """Who may have the page that listens on ``host`` and ``port``."""

    host: str
    port: int
    token: str | None
    """None on loopback, where it is not asked for."""

    def knows_host(self, header: str | None) -> bool:
        """Whether a Host header names this server: by address, whole, with its port.

        Only a whole address is taken, for a name can be made to lead anywhere; ``localhost`` leads
        to this machine in every browser.
        """
        name = self._without_port(header)
        if name is None:
            return False
        if name == "localhost":
            return True
        ip, own = as_ip(name), as_ip(self.host)
        if ip is None or own is None:
            return False
        # Where all of this machine's addresses are listened on, any of them may be named.
        return ip == own or own.is_unspecified or (own.is_loopback and ip.is_loopback)

    def knows_origin(self, origin: str | None, host: str | None) -> bool:
        """Whether a socket is opened by our own page: from the very host that it asks."""
        return host is not None and self.knows_host(host) and origin == f"http://{host}"

    def admits(self, said: str) -> bool:
        """Whether a first message holds the token. Takes as long whatever it holds."""
        if self.token is None:
            return True
        return hmac.compare_digest(said.encode("utf-8", "replace"), self.token.encode())

    def _without_port(self, header: str | None) -> str | None:
        if header is None:
            return None
        name, colon, port = header.rpartition(":")
        # A browser leaves the usual port out.
        if not colon or header.endswith("]"):
            name, port = header, "80"
        if port != str(self.port):
            return None
        bare = name.removeprefix("[").removesuffix("]")
        # An address of version 6 is in brackets, and nothing else is.
        return bare if (":" in bare) == (name != bare) else None


def security_headers(host: str | None) -> dict[str, str]:
    """Of every answer, refusals too. ``host`` is the Host header of a request that is served; an
    answer to any other (None) may load nothing at all."""
    return {
        "Content-Security-Policy": _content_policy(host),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "no-store",
    }


def _content_policy(host: str | None) -> str:
    """What the page may load: its own files and its own socket, which 'self' does not cover in all
    browsers (MDN, connect-src)."""
    nothing = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    if host is None:
        return nothing
    return (
        f"{nothing}; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        f"connect-src 'self' ws://{host}"
    )


def as_ip(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """None for what is no whole address."""
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None
