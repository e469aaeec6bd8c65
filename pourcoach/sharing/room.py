"""A room on a broker: where its messages go, and what they are called."""

import os
import ssl
from dataclasses import dataclass
from typing import NamedTuple, Self
from urllib.parse import parse_qsl, quote, unquote, urlsplit

from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.domain.printable import LONGEST_NAME, printable

PORTS = {"mqtt": 1883, "mqtts": 8883}
"""By registration (IANA): plain, and over TLS."""
PASSWORD_VARIABLE = "POURCOACH_BROKER_PASSWORD"
"""A password on the command line could be read by everybody on this machine."""
LONGEST_ROOM = 100
_EXAMPLE = "write mqtts://HOST/ROOM, as mqtts://broker.example/morning"


@dataclass(frozen=True, slots=True)
class Room:
    """A parsed ``mqtt[s]://[USER@]HOST[:PORT]/ROOM[?ca=FILE]``."""

    host: str
    port: int
    name: str
    tls: bool
    user: str | None = None
    ca_file: str | None = None
    """Who signed the broker's certificate, where the system does not know it."""

    @classmethod
    def parse(cls, text: str) -> Self:
        """Raises UsageError saying what an address looks like."""
        try:
            parts = urlsplit(text)
            port = parts.port
        except ValueError:
            raise UsageError(f"{text!r} is no room on a broker", _EXAMPLE) from None
        if parts.scheme not in PORTS or not parts.hostname:
            raise UsageError(f"{text!r} is no room on a broker", _EXAMPLE)
        if parts.password is not None:
            raise UsageError(
                "a password does not belong in an address, where others can read it",
                f"put it into the environment as {PASSWORD_VARIABLE}",
            )
        name = unquote(parts.path).strip("/")
        if not name or len(name) > LONGEST_ROOM or not name.isprintable() or set(name) & set("+#"):
            raise UsageError(
                f"{text!r} names no room that a broker takes",
                f"{_EXAMPLE}; without + and #, up to {LONGEST_ROOM} letters",
            )
        options = dict(parse_qsl(parts.query))
        unknown = next((key for key in options if key != "ca"), None)
        if unknown is not None:
            raise UsageError(f"unknown option {unknown!r} in {text!r}", "there is only ca=FILE")
        tls = parts.scheme == "mqtts"
        if "ca" in options and not tls:
            raise UsageError("ca=FILE is for a broker with TLS", "write mqtts://")
        return cls(
            parts.hostname,
            port or PORTS[parts.scheme],
            name,
            tls,
            None if parts.username is None else unquote(parts.username),
            options.get("ca"),
        )

    def __str__(self) -> str:
        """Without user and options: fit to be shown and to be kept."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"mqtt{'s' if self.tls else ''}://{host}:{self.port}/{self.name}"

    @property
    def password(self) -> str | None:
        """From the environment."""
        return os.environ.get(PASSWORD_VARIABLE) or None

    def tls_context(self) -> ssl.SSLContext | None:
        """None without TLS. Certificate and host name are always checked. WorkError where the
        ``ca_file`` cannot be used.
        """
        if not self.tls:
            return None
        try:
            return ssl.create_default_context(cafile=self.ca_file)
        except ssl.SSLError:
            raise WorkError(f"{self.ca_file} is no certificate", "give one in PEM form") from None
        except OSError as error:
            raise WorkError(f"cannot read {self.ca_file}: {reason(error)}") from None

    def topic(self, station: str, *rest: str) -> str:
        """Of a message about a station. Signs that mean something in a topic are escaped."""
        return "/".join((self.name, level(station), *rest))

    def split(self, topic: str) -> "Topic | None":
        """What a topic of this room is about; None for one that is no such thing."""
        station, _, rest = topic.removeprefix(f"{self.name}/").partition("/")
        if not topic.startswith(f"{self.name}/") or not station or not rest:
            return None
        return Topic(printable(unquote(station), LONGEST_NAME), tuple(rest.split("/")))


class Topic(NamedTuple):
    """The parts of a topic below its room."""

    station: str
    rest: tuple[str, ...]


def level(name: str) -> str:
    """A name as one level of a topic."""
    return quote(name, safe=" ")
