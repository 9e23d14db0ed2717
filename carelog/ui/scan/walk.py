"""Where a scan is in a tree of groups: it steps on by itself, the switch leads it in and out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from carelog.ui.scan.stop import Stop

MOST = 6
"""More members than this are divided: a group further along would take too many steps to reach."""
ROUNDS = 2
"""Rounds through a group in which nothing was chosen; then the scan leaves it by itself."""


@dataclass(frozen=True, slots=True)
class Node:
    """Something to press, or a group to go into."""

    stop: "Stop | None" = None
    members: tuple["Node", ...] = ()

    def stops(self) -> Iterator["Stop"]:
        """Everything that can be pressed in it, in its order."""
        if self.stop is not None:
            yield self.stop
        for member in self.members:
            yield from member.stops()

    def names(self) -> tuple[str, ...]:
        """What it holds, by object names: the same after a page was filled anew."""
        return tuple(stop.name for stop in self.stops())


def group(nodes: Sequence[Node]) -> Node:
    """These as one member; a single one stays what it is."""
    return nodes[0] if len(nodes) == 1 else Node(members=tuple(parted(nodes)))


def parted(nodes: Sequence[Node]) -> list[Node]:
    """No more than six: more are divided into groups of nearly the same size."""
    if len(nodes) <= MOST:
        return list(nodes)
    size = -(-len(nodes) // -(-len(nodes) // MOST))
    return parted([group(nodes[first : first + size]) for first in range(0, len(nodes), size)])


class Walk:
    """A place in the tree; every group ends with the way out of it."""

    def __init__(self) -> None:
        self._root = Node()
        self._path = [0]
        self._rounds = 0

    def begin(self, root: Node, at: int = 0) -> None:
        """Start at one of the outermost members."""
        self._root, self._path, self._rounds = root, [min(at, max(len(root.members) - 1, 0))], 0

    def follow(self, root: Node) -> bool:
        """The window has changed: stay where that is what it was, else start anew; whether it stayed."""
        before, self._root = self._along(), root
        if self._along() == before:
            return True
        self.begin(root)
        return False

    @property
    def now(self) -> Node | None:
        """The member that the scan is at; the group itself at the way out; None: there is nothing."""
        held = self._group()
        if self.is_at_way_out:
            return held
        return held.members[self._path[-1]] if held.members else None

    @property
    def is_at_way_out(self) -> bool:
        """Whether the switch leaves the group."""
        return len(self._path) > 1 and self._path[-1] >= len(self._group().members)

    @property
    def outermost(self) -> int:
        """The outermost member that the scan is at or in."""
        return self._path[0]

    def step(self, *, leaves: bool = True) -> None:
        """Go on to the next member; `leaves`: after two rounds out of the group."""
        count = len(self._group().members)
        is_inside = len(self._path) > 1
        self._path[-1] += 1
        if self._path[-1] < count + is_inside:
            return
        self._path[-1] = 0
        self._rounds += is_inside
        if leaves and self._rounds >= ROUNDS:
            self._leave()

    def choose(self) -> "Stop | None":
        """Go into a group or out of it; at something to press: give it."""
        if self.is_at_way_out:
            self._leave()
            return None
        here = self.now
        if here is None or here.stop is not None:
            return here.stop if here is not None else None
        self._path.append(0)
        self._rounds = 0
        return None

    def _leave(self) -> None:
        self._path.pop()
        self._rounds = 0

    def _group(self) -> Node:
        held = self._root
        for number in self._path[:-1]:
            held = held.members[number] if number < len(held.members) else Node()
        return held

    def _along(self) -> list[tuple[str, ...]]:
        """What the groups on the way hold."""
        held, found = self._root, []
        for number in self._path:
            held = held.members[number] if number < len(held.members) else Node()
            found.append(held.names())
        return found


def steps_to(root: Node, name: str) -> int | None:
    """How many moves of the ring and presses of the switch it takes to press this; None: it isn't there."""
    for number, member in enumerate(root.members):
        if member.stop is not None:
            if member.stop.name == name:
                return number + 1
        elif (within := steps_to(member, name)) is not None:
            return number + 1 + within
    return None
