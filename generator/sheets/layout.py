"""Where the parts of a cut tree lie: every node with its corners, in the table's small unit.

The order of work: a cut tree as settings of a trimmer's fence.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from generator.paper.sheet_layouts import Cut, CutSource, Segment, StockSheet
from generator.sheets.cut_tree import Leaf, Node, Split, Strips, Waste, extent, leaves

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


@dataclass(frozen=True, slots=True)
class Scale:
    """From the table's small unit to mm: ``unit`` of them are a mm; ``kerf`` was added to every side."""

    unit: int
    kerf: Fraction

    def place(self, at: int) -> Fraction:
        """A coordinate in mm."""
        return Fraction(at, self.unit)

    def size(self, size: int) -> Fraction:
        """A side in mm, without what the blade takes; 0 where it takes all."""
        return max(Fraction(size, self.unit) - self.kerf, Fraction(0))


@dataclass(slots=True)
class Work:
    """What is known so far of a kind of part: from which cuts its parts come."""

    sources: list[CutSource] = field(default_factory=list)

    @property
    def count(self) -> int:
        return sum(source.count for source in self.sources)


def cuts_of(tree: Node, scale: Scale, sheet: StockSheet) -> tuple[Cut, ...]:
    """Every setting, the whole sheet's first, large parts before small ones; a selvedge goes before all."""
    made = list(_trim(sheet, scale))
    places = laid(tree)
    work = {node: Work() for node in places}
    work[tree].sources += [CutSource(cut.step, rest=False) for cut in made]
    for node, corners in places.items():
        if isinstance(node, Split):
            made += _cuts_of(node, corners, work, scale, len(made) + 1)
    return tuple(made)


def _trim(sheet: StockSheet, scale: Scale) -> Iterator[Cut]:
    """The selvedge, which the other long edge is laid against the fence to cut off."""
    if not sheet.trim.value:
        return
    width, height = sheet.usable
    ends = ((width, Fraction(0)), (width, height)) if sheet.trims_width else ((Fraction(0), height), (width, height))
    axis, fence = ("x", width) if sheet.trims_width else ("y", height)
    yield Cut(1, (), 1, Fraction(sheet.width.value), Fraction(sheet.height.value), axis, fence, 1, trims=True, lines=(ends,))


def _cuts_of(node: Split, corners: list[Corner], work: dict[Node, Work], scale: Scale, step: int) -> Iterator[Cut]:
    """The settings for one kind of part, in order; tells ``work`` where the parts that they make come from."""
    sources, parts = tuple(work[node].sources), max(work[node].count, 1)
    left, offset = extent(node, node.axis), 0
    for group in _by_width(node.strips):
        size, count = extent(group[0].node, node.axis), sum(strips.count for strips in group)
        times = count - (left == count * size)      # the last strip needs no cut where it ends at the edge
        if times:
            yield replace(_cut(node, left, size, scale), step=step, sources=sources, parts=parts, times=times,
                          shortens=_shortens(node, count),
                          lines=tuple(_lines(node, corners, offset, size, times, scale)))
        for strips in group:
            _tell(work[strips.node], step if times else step - 1, strips.count * parts, rest=not times)
        if times:
            sources, step = (CutSource(step, parts, rest=True),), step + 1
        left, offset = left - count * size, offset + count * size
    if node.rest is not None:
        _tell(work[node.rest], step - 1, parts, rest=True)


def _tell(work: Work, step: int, count: int, rest: bool) -> None:
    work.sources.append(CutSource(step, count, rest))


def _by_width(strips: tuple[Strips, ...]) -> Iterator[list[Strips]]:
    """Neighbours of the same width, for which the fence stays where it is."""
    group: list[Strips] = []
    for each in strips:
        if group and (each.node.width, each.node.height) != (group[0].node.width, group[0].node.height):
            yield group
            group = []
        group.append(each)
    yield group


def _cut(node: Split, left: int, size: int, scale: Scale) -> Cut:
    """One setting for what is left of a part."""
    width, height = (left, node.height) if node.axis == "x" else (node.width, left)
    return Cut(0, (), 1, scale.size(width), scale.size(height), node.axis, scale.size(size), 1)


def _lines(node: Split, corners: list[Corner], offset: int, size: int, times: int, scale: Scale) -> Iterator[Segment]:
    """Where the blade goes: along the far edge of every strip."""
    across = scale.size(extent(node, "y" if node.axis == "x" else "x"))
    for corner in corners:
        for k in range(times):
            x, y = (scale.place(at) for at in moved(corner, node.axis, offset + k * size))
            if node.axis == "x":
                x += scale.size(size)
                yield (x, y), (x, y + across)
            else:
                y += scale.size(size)
                yield (x, y), (x + across, y)


def _shortens(node: Split, count: int) -> bool:
    """True where one length of blanks stays and an offcut goes: the strips were longer than the blanks."""
    if count > 1 or len(node.strips) > 1 or not isinstance(node.rest, Waste):
        return False
    return all(_lies_along(leaf, node) for leaf in leaves(node.strips[0].node))


def _lies_along(leaf: Leaf, node: Split) -> bool:
    """True where the longer side of a blank lies along the fence's measure and is as long as the strip stays."""
    other = "y" if node.axis == "x" else "x"
    return extent(leaf, node.axis) == extent(node.strips[0].node, node.axis) >= extent(leaf, other)
