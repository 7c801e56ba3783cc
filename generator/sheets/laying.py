"""Where the parts of a cut tree lie: every node with its corners, in the table's small unit."""
from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.sheets.tree import Leaf, Node, Split, Waste, extent

Corner = tuple[int, int]


def laid(tree: Node) -> Mapping[Node, list[Corner]]:
    """Each different node of the tree with the lower left corner of every rectangle that is parted like it.

    Strips lie from the left, or from below, in their order; the rest behind
    them. Large rectangles come first, so that nothing comes before what it is
    cut from.
    """
    found: dict[Node, list[Corner]] = {}
    for node, corner in _walk(tree, (0, 0)):
        found.setdefault(node, []).append(corner)
    return dict(sorted(found.items(), key=lambda item: -item[0].width * item[0].height))


def _walk(node: Node, corner: Corner) -> Iterator[tuple[Node, Corner]]:
    yield node, corner
    if isinstance(node, Split):
        for part, offset in parts(node):
            yield from _walk(part, moved(corner, node.axis, offset))


def parts(split: Split) -> Iterator[tuple[Node, int]]:
    """Every strip, and the rest, with how far it lies from where the fence begins."""
    offset = 0
    for strips in split.strips:
        for _ in range(strips.count):
            yield strips.node, offset
            offset += extent(strips.node, split.axis)
    if split.rest is not None:
        yield split.rest, offset


def moved(corner: Corner, axis: str, by: int) -> Corner:
    """A corner shifted along an axis."""
    x, y = corner
    return (x + by, y) if axis == "x" else (x, y + by)


def blanks_and_offcuts(tree: Node) -> Iterator[tuple[Leaf | Waste, Corner]]:
    """What ends up on the table, row by row from below."""
    ends = [(node, corner) for node, corner in _walk(tree, (0, 0)) if not isinstance(node, Split)]
    return iter(sorted(ends, key=lambda end: (end[1][1], end[1][0])))
