"""Fails every test that opens a network socket, even when the program swallows the error."""

import socket
import sys
from collections.abc import Iterator

import pytest

NETWORK = (socket.AF_INET, socket.AF_INET6)
LOOKUPS = ("socket.getaddrinfo", "socket.gethostbyname", "socket.gethostbyaddr", "socket.getnameinfo")
seen: list[str] = []


class NetworkUsed(RuntimeError):
    """Raised inside the call that would have opened a socket or asked for an address."""


def _refuse(event: str, arguments: tuple[object, ...]) -> None:
    if event in LOOKUPS or (event == "socket.__new__" and arguments[1] in NETWORK):
        seen.append(event)
        raise NetworkUsed(f"the program works without a network, yet this was called: {event}")


# An audit hook can't be taken off again, so there is one for the whole process.
sys.addaudithook(_refuse)


@pytest.fixture(autouse=True)
def no_network() -> Iterator[list[str]]:
    """What this test asked of the network; it must be empty at the end."""
    seen.clear()
    yield seen
    asked = list(seen)
    seen.clear()
    assert not asked, f"the network was asked for something: {asked}"
