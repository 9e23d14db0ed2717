"""The room on a picture: which boxes are taken, and the first place where words overprint nothing."""

from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Patch:
    """A box on a picture, from its left upper corner; sizes in points, y downwards."""

    x: float
    y: float
    width: float
    height: float

    def shared(self, other: "Patch") -> float:
        """The area that lies in both."""
        across = min(self.x + self.width, other.x + other.width) - max(self.x, other.x)
        down = min(self.y + self.height, other.y + other.height) - max(self.y, other.y)
        return max(across, 0) * max(down, 0)


@dataclass(slots=True)
class Room:
    """What of a picture's width and height is taken."""

    width: float
    height: float
    taken: list[Patch] = field(default_factory=list)

    def take(self, box: Patch) -> None:
        """This box holds something."""
        self.taken.append(box)

    def place(self, wanted: Iterable[Patch], *, must: bool) -> Patch | None:
        """The first of some boxes that is free, taken from now on; if it `must`, that of least overlap."""
        given = list(wanted)
        boxes = [box for box in given if self._holds(box)] or (given if must else [])
        best = next((box for box in boxes if self._is_free(box)), None)
        if best is None and must:
            best = min(boxes, key=self._overlap, default=None)
        if best is not None:
            self.take(best)
        return best

    def _is_free(self, box: Patch) -> bool:
        return not any(box.shared(other) for other in self.taken)

    def _overlap(self, box: Patch) -> float:
        return sum(box.shared(other) for other in self.taken)

    def _holds(self, box: Patch) -> bool:
        return (
            box.x >= 0
            and box.y >= 0
            and box.x + box.width <= self.width
            and box.y + box.height <= self.height
        )
