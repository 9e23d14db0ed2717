"""Just enough of the desktop's accessibility bus to find a button by its name and press it."""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from jeepney import DBusAddress, Properties, new_method_call
from jeepney.io.blocking import DBusConnection, open_dbus_connection

BUTTONS = ("push button", "toggle button", "button", "check box", "radio button")
PREFIX = "org.a11y.atspi"
VISIBLE = 30  # the number of that state on the bus
ROOT = "/org/a11y/atspi/accessible/root"


@dataclass(frozen=True)
class Node:
    """One accessible object."""

    bus: str
    path: str
    name: str
    description: str
    role: str


class Desktop:
    """The program with this name on the accessibility bus."""

    def __init__(self, name: str, seconds: float) -> None:
        self._until = time.monotonic() + seconds
        self._connection = self._connect()
        self._program = self._wait_for_program(name)

    def _connect(self) -> DBusConnection:
        session = open_dbus_connection(bus="SESSION")
        asked = DBusAddress("/org/a11y/bus", bus_name="org.a11y.Bus", interface="org.a11y.Bus")
        while True:
            reply = session.send_and_get_reply(new_method_call(asked, "GetAddress"))
            if reply.header.message_type.name == "method_return":
                return open_dbus_connection(bus=reply.body[0])
            self._rest("the accessibility bus")

    def _wait_for_program(self, name: str) -> tuple[str, str]:
        while True:
            for bus, path in self._children("org.a11y.atspi.Registry", ROOT):
                if self._property(bus, path, "Name") == name:
                    return bus, path
            self._rest(name)

    def _rest(self, wanted: str) -> None:
        if time.monotonic() > self._until:
            raise TimeoutError(wanted)
        time.sleep(0.3)

    def _call(self, bus: str, path: str, interface: str, method: str, *given: Any) -> Any:
        address = DBusAddress(path, bus_name=bus, interface=f"{PREFIX}.{interface}")
        message = new_method_call(address, method, *given) if given else new_method_call(address, method)
        reply = self._connection.send_and_get_reply(message, timeout=20)
        return reply.body if reply.header.message_type.name == "method_return" else None

    def _property(self, bus: str, path: str, name: str) -> str:
        address = DBusAddress(path, bus_name=bus, interface=f"{PREFIX}.Accessible")
        reply = self._connection.send_and_get_reply(Properties(address).get(name), timeout=20)
        return str(reply.body[0][1]) if reply.header.message_type.name == "method_return" else ""

    def _children(self, bus: str, path: str) -> list[tuple[str, str]]:
        body = self._call(bus, path, "Accessible", "GetChildren")
        return [(each[0], each[1]) for each in body[0]] if body else []

    def _is_seen(self, bus: str, path: str) -> bool:
        """Whether it is there for whoever uses the window now: no part of a page that isn't open."""
        body = self._call(bus, path, "Accessible", "GetState")
        return bool(body) and bool(body[0][0] >> VISIBLE & 1)

    def nodes(self) -> Iterator[Node]:
        """Every object of the program that is seen, from its window down."""
        waiting = self._children(*self._program)
        while waiting:
            bus, path = waiting.pop()
            if not self._is_seen(bus, path):
                continue
            role = self._call(bus, path, "Accessible", "GetRoleName")
            yield Node(
                bus,
                path,
                self._property(bus, path, "Name"),
                self._property(bus, path, "Description"),
                role[0] if role else "",
            )
            waiting += self._children(bus, path)

    def wait(self, wanted: Callable[[Node], bool]) -> Node:
        """The first object that is wanted, as soon as it is there."""
        while True:
            for node in self.nodes():
                if wanted(node):
                    return node
            self._rest("an object")

    def press_named(self, name: str, *roles: str) -> None:
        """Press what is called so, or begins so, as soon as it is there."""
        self.press(self.wait(lambda node: node.name.startswith(name) and node.role in (roles or BUTTONS)))

    def heading(self, name: str) -> None:
        """Wait for a heading that begins so."""
        self.wait(lambda node: node.name.startswith(name) and node.role == "heading")

    def said(self, words: str) -> None:
        """Wait until something describes itself in words that begin so."""
        self.wait(lambda node: node.description.startswith(words))

    def press(self, node: Node) -> None:
        """Do the object's first action, as a screen reader does."""
        self._call(node.bus, node.path, "Action", "DoAction", "i", (0,))
