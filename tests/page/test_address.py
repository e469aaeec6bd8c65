"""Who may have the page: a table of those who try."""

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.page.address import Guard, PageAddress, security_headers

OPEN = Guard("0.0.0.0", 8080, "secret")
LOOPBACK = Guard("127.0.0.1", 8080, None)
ONE = Guard("192.168.1.20", 8080, "secret")
SIX = Guard("::", 8080, "secret")


@pytest.mark.parametrize(
    ("text", "host", "port"),
    [
        ("8080", "127.0.0.1", 8080),
        ("0", "127.0.0.1", 0),
        ("localhost:1", "127.0.0.1", 1),
        ("0.0.0.0:8080", "0.0.0.0", 8080),
        ("[::]:8080", "::", 8080),
        ("192.168.1.20:65535", "192.168.1.20", 65535),
    ],
)
def test_addresses(text: str, host: str, port: int) -> None:
    address = PageAddress.parse(text)
    assert (address.host, address.port) == (host, port)


@pytest.mark.parametrize(
    "text", ["", "x", ":8080", "8080:", "65536", "-1", "1.2.3:80", "host.example:80", "0.0.0.0:١"]
)
def test_what_is_no_address_is_refused(text: str) -> None:
    with pytest.raises(UsageError):
        PageAddress.parse(text)


def test_only_loopback_needs_no_token() -> None:
    assert PageAddress.parse("8080").on_loopback
    assert PageAddress.parse("[::1]:8080").on_loopback
    assert not PageAddress.parse("0.0.0.0:8080").on_loopback
    assert not PageAddress.parse("192.168.1.20:8080").on_loopback


@pytest.mark.parametrize(
    ("guard", "host"),
    [
        (LOOPBACK, "127.0.0.1:8080"),
        (LOOPBACK, "localhost:8080"),
        (LOOPBACK, "[::1]:8080"),
        (OPEN, "192.168.1.20:8080"),
        (OPEN, "127.0.0.1:8080"),
        (ONE, "192.168.1.20:8080"),
        (SIX, "[fe80::1]:8080"),
        (Guard("0.0.0.0", 80, "x"), "192.168.1.20"),
        (Guard("::", 80, "x"), "[fe80::1]"),
    ],
)
def test_hosts_that_are_this_server(guard: Guard, host: str) -> None:
    assert guard.knows_host(host)


@pytest.mark.parametrize(
    ("guard", "host"),
    [
        (LOOPBACK, None),
        (LOOPBACK, ""),
        (LOOPBACK, "127.0.0.1"),
        (LOOPBACK, "127.0.0.1:8081"),
        (LOOPBACK, "127.0.0.1.evil.example:8080"),
        (LOOPBACK, "127.evil.example:8080"),
        (LOOPBACK, "evil.example:8080"),
        (LOOPBACK, "192.168.1.20:8080"),
        (LOOPBACK, "localhost.evil.example:8080"),
        (LOOPBACK, "::1:8080"),
        (LOOPBACK, "[127.0.0.1]:8080"),
        (LOOPBACK, "127.1:8080"),
        (LOOPBACK, "0x7f000001:8080"),
        (OPEN, "evil.example:8080"),
        (ONE, "192.168.1.21:8080"),
    ],
)
def test_hosts_that_are_not(guard: Guard, host: str | None) -> None:
    assert not guard.knows_host(host)


@pytest.mark.parametrize(
    ("origin", "admitted"),
    [
        ("http://127.0.0.1:8080", True),
        (None, False),
        ("null", False),
        ("http://evil.example", False),
        ("http://localhost:8080", False),
        ("https://127.0.0.1:8080", False),
        ("http://127.0.0.1:8080/", False),
        ("http://127.0.0.1:80801", False),
    ],
)
def test_only_the_page_itself_opens_the_socket(origin: str | None, admitted: bool) -> None:
    assert LOOPBACK.knows_origin(origin, "127.0.0.1:8080") is admitted


@pytest.mark.parametrize("said", ["", "Secret", "secret ", "secre", "sécret", "\ud800"])
def test_a_wrong_token_is_refused(said: str) -> None:
    assert not OPEN.admits(said)


def test_the_right_token_is_admitted_and_loopback_asks_for_none() -> None:
    assert OPEN.admits("secret")
    assert LOOPBACK.admits("")


def test_the_policy_allows_our_own_files_and_socket_and_nothing_else() -> None:
    policy = security_headers("127.0.0.1:8080")["Content-Security-Policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == "'self'"
    assert rules["connect-src"] == "'self' ws://127.0.0.1:8080"
    assert rules["frame-ancestors"] == rules["base-uri"] == rules["form-action"] == "'none'"
