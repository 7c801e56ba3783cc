"""What cannot be cut at all, or not worked out in time.

The cut tree: how a sheet is parted, without saying where the parts lie. Whole numbers of the table's small unit.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass


class SheetError(ValueError):
    """``code`` is the finding's code; the message and ``hint`` are for the demonstrator."""

    def __init__(self, code: str, message: str, hint: str = ""):
        super().__init__(message)
        self.code, self.hint = code, hint


def too_much() -> SheetError:
    """More ways to cut than can be tried."""
    return SheetError("too-much", "there are more ways to cut this sheet than can be tried",
                      "look at fewer or larger pieces at a time, or cut a sheet in halves first")


@dataclass(frozen=True, slots=True)
class Leaf:
    """A blank, exactly as large as the rectangle."""

    width: int
    height: int
    kind: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Waste:
    """An offcut."""

    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Strips:
    """``count`` equal strips, cut off one after the other, each parted like ``node``."""

    count: int
    node: "Node"


@dataclass(frozen=True, slots=True)
class Split:
    """A rectangle cut from edge to edge: along ``axis`` lie the ``strips``, wide ones first, then the ``rest``.

    ``rest`` is what is left when all strips are off, None where the last of
    them ends at the edge. It is waste, or it is parted the other way.
    """

    width: int
    height: int
    axis: str
    strips: tuple[Strips, ...]
    rest: "Node | None" = None


Node = Leaf | Waste | Split


def split(width: int, height: int, axis: str, strips: Iterable[Strips], rest: Node | None) -> Split:
    """A split with all strips along its axis in it, like ones together and wide ones first.

    What would be cut the same way again, a strip without an offcut or the
    rest itself, gives its strips to this split: that saves settings.
    """
    counts: dict[Node, int] = {}
    for each in strips:
        for strip in _own(each.node, axis):
            counts[strip.node] = counts.get(strip.node, 0) + each.count * strip.count
    if isinstance(rest, Split) and rest.axis == axis:
        return split(width, height, axis, (*(Strips(n, node) for node, n in counts.items()), *rest.strips), rest.rest)
    if isinstance(rest, Split) and any(extent(node, axis) == extent(rest, axis) for node in counts):
        counts[rest], rest = counts.get(rest, 0) + 1, None      # one strip more, only parted in another way
    ordered = sorted(counts.items(), key=lambda item: -extent(item[0], axis))
    return Split(width, height, axis, tuple(Strips(n, node) for node, n in ordered), rest)


def _own(node: Node, axis: str) -> tuple[Strips, ...]:
    """The strips that a strip falls into when it is cut along the same axis without an offcut; else itself."""
    if not isinstance(node, Split) or node.axis != axis or isinstance(node.rest, Waste):
        return (Strips(1, node),)
    return node.strips if node.rest is None else (*node.strips, Strips(1, node.rest))


def extent(node: Node, axis: str) -> int:
    """Width ("x") or height ("y")."""
    return node.width if axis == "x" else node.height


def leaves(node: Node) -> Iterator[Leaf]:
    """Every blank in it, as often as it is there."""
    if isinstance(node, Leaf):
        yield node
    elif isinstance(node, Split):
        for strips in node.strips:
            for _ in range(strips.count):
                yield from leaves(strips.node)
        if node.rest is not None:
            yield from leaves(node.rest)
