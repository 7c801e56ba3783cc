"""The cut tree: how a sheet is parted, where its parts lie, and the order of work at a trimmer's fence.

Sides and corners are whole numbers of the table's small unit.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from generator.dataclass import dataclass, field, replace
from generator.paper.sheet_layouts import Cut, CutSource, Segment, StockSheet


class SheetError(ValueError):
    """``code`` is that of a finding; the message and ``hint`` are for the demonstrator."""

    def __init__(self, code: str, message: str, hint: str = ""):
        super().__init__(message)
        self.code, self.hint = code, hint


def too_much_error() -> SheetError:
    """More ways to cut than can be tried."""
    return SheetError("too-much", "there are more ways to cut this sheet than can be tried",
                      "look at fewer or larger pieces at a time, or cut a sheet in halves first")


@dataclass(frozen=True, slots=True)
class BlankLeaf:
    """A blank, exactly as large as the rectangle."""

    width: int
    height: int
    kind: int
    turned: bool


@dataclass(frozen=True, slots=True)
class OffcutLeaf:
    """An offcut."""

    width: int
    height: int


@dataclass(frozen=True, slots=True)
class EqualStrips:
    """``count`` equal strips, cut off one after the other, each parted like ``node``."""

    count: int
    node: CutNode


@dataclass(frozen=True, slots=True)
class CutSplit:
    """A rectangle cut from edge to edge.

    Along ``axis`` lie the ``strips``, wide ones first, then the ``rest``.

    ``rest`` is what is left when all strips are off, None where the last of
    them ends at the edge. It is waste, or it is parted the other way.
    """

    width: int
    height: int
    axis: str
    strips: tuple[EqualStrips, ...]
    rest: CutNode | None = None


CutNode = BlankLeaf | OffcutLeaf | CutSplit


def merged_split(width: int, height: int, axis: str, strips: Iterable[EqualStrips],
                 rest: CutNode | None) -> CutSplit:
    """A split with all strips along its axis in it, like ones together and wide ones first.

    What would be cut the same way again, a strip without an offcut or the
    rest itself, gives its strips to this split: that saves settings.
    """
    counts: dict[CutNode, int] = {}
    for each in strips:
        for strip in _flattened_strips(each.node, axis):
            counts[strip.node] = counts.get(strip.node, 0) + each.count * strip.count
    if isinstance(rest, CutSplit) and rest.axis == axis:
        return merged_split(width, height, axis,
                            (*(EqualStrips(n, node) for node, n in counts.items()), *rest.strips), rest.rest)
    if isinstance(rest, CutSplit) and any(extent(node, axis) == extent(rest, axis) for node in counts):
        counts[rest], rest = counts.get(rest, 0) + 1, None      # one strip more, only parted in another way
    ordered = sorted(counts.items(), key=lambda item: -extent(item[0], axis))
    return CutSplit(width, height, axis, tuple(EqualStrips(n, node) for node, n in ordered), rest)


def _flattened_strips(node: CutNode, axis: str) -> tuple[EqualStrips, ...]:
    """The strips that a strip falls into when it is cut along its axis without offcut; else itself."""
    if not isinstance(node, CutSplit) or node.axis != axis or isinstance(node.rest, OffcutLeaf):
        return (EqualStrips(1, node),)
    return node.strips if node.rest is None else (*node.strips, EqualStrips(1, node.rest))


def extent(node: CutNode, axis: str) -> int:
    """Width ("x") or height ("y")."""
    return node.width if axis == "x" else node.height


def leaves(node: CutNode) -> Iterator[BlankLeaf]:
    """Every blank in it, as often as it is there."""
    if isinstance(node, BlankLeaf):
        yield node
    elif isinstance(node, CutSplit):
        for strips in node.strips:
            for _ in range(strips.count):
                yield from leaves(strips.node)
        if node.rest is not None:
            yield from leaves(node.rest)


UnitPoint = tuple[int, int]


def node_corners(tree: CutNode) -> Mapping[CutNode, list[UnitPoint]]:
    """Each different node of the tree with the lower left corner of every rectangle that is parted like it.

    Strips lie from the left, or from below, in their order; the rest behind
    them. Large rectangles come first, so that nothing comes before what it is
    cut from.
    """
    found: dict[CutNode, list[UnitPoint]] = {}
    for node, corner in _positioned_nodes(tree, (0, 0)):
        found.setdefault(node, []).append(corner)
    return dict(sorted(found.items(), key=lambda item: -item[0].width * item[0].height))


def _positioned_nodes(node: CutNode, corner: UnitPoint) -> Iterator[tuple[CutNode, UnitPoint]]:
    yield node, corner
    if isinstance(node, CutSplit):
        for part, offset in strip_offsets(node):
            yield from _positioned_nodes(part, shifted(corner, node.axis, offset))


def strip_offsets(split: CutSplit) -> Iterator[tuple[CutNode, int]]:
    """Every strip, and the rest, with how far it lies from where the fence begins."""
    offset = 0
    for strips in split.strips:
        for _ in range(strips.count):
            yield strips.node, offset
            offset += extent(strips.node, split.axis)
    if split.rest is not None:
        yield split.rest, offset


def shifted(corner: UnitPoint, axis: str, by: int) -> UnitPoint:
    """A corner shifted along an axis."""
    x, y = corner
    return (x + by, y) if axis == "x" else (x, y + by)


def blanks_and_offcuts(tree: CutNode) -> Iterator[tuple[BlankLeaf | OffcutLeaf, UnitPoint]]:
    """What ends up on the table, row by row from below."""
    ends = [(node, corner) for node, corner in _positioned_nodes(tree, (0, 0))
            if not isinstance(node, CutSplit)]
    return iter(sorted(ends, key=lambda end: (end[1][1], end[1][0])))


@dataclass(frozen=True, slots=True)
class UnitScale:
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
class PartSources:
    """What is known so far of a kind of part: from which cuts its parts come."""

    sources: list[CutSource] = field(default_factory=list)

    @property
    def count(self) -> int:
        """How many such parts there are."""
        return sum(source.count for source in self.sources)


def fence_settings(tree: CutNode, scale: UnitScale, sheet: StockSheet) -> tuple[Cut, ...]:
    """Every setting, the whole sheet's first, large parts before small ones; a selvedge goes before all."""
    result = list(_selvedge_cut(sheet))
    places = node_corners(tree)
    work = {node: PartSources() for node in places}
    work[tree].sources += [CutSource(cut.step, rest=False) for cut in result]
    for node, corners in places.items():
        if isinstance(node, CutSplit):
            result += _settings_of_split(node, corners, work, scale, len(result) + 1)
    return tuple(result)


def _selvedge_cut(sheet: StockSheet) -> Iterator[Cut]:
    """The selvedge, which the other long edge is laid against the fence to cut off."""
    if not sheet.trim.value:
        return
    width, height = sheet.usable
    ends = ((width, Fraction(0)), (width, height)) if sheet.trims_width else ((Fraction(0), height),
                                                                              (width, height))
    axis, fence = ("x", width) if sheet.trims_width else ("y", height)
    yield Cut(1, (), 1, Fraction(sheet.width.value), Fraction(sheet.height.value), axis, fence, 1, trims=True,
              lines=(ends,))


def _settings_of_split(node: CutSplit, corners: list[UnitPoint], work: dict[CutNode, PartSources],
                       scale: UnitScale, step: int) -> Iterator[Cut]:
    """The settings for one kind of part, in order.

    Tells ``work`` where the parts that they make come from.
    """
    sources, parts = tuple(work[node].sources), max(work[node].count, 1)
    left, offset = extent(node, node.axis), 0
    for group in _by_width(node.strips):
        size, count = extent(group[0].node, node.axis), sum(strips.count for strips in group)
        times = count - (left == count * size)      # the last strip needs no cut where it ends at the edge
        if times:
            yield replace(_setting(node, left, size, scale), step=step, sources=sources, parts=parts,
                          times=times,
                          shortens=_shortens(node, count),
                          lines=tuple(_cut_lines(node, corners, offset, size, times, scale)))
        for strips in group:
            _add_source(work[strips.node], step if times else step - 1, strips.count * parts, rest=not times)
        if times:
            sources, step = (CutSource(step, parts, rest=True),), step + 1
        left, offset = left - count * size, offset + count * size
    if node.rest is not None:
        _add_source(work[node.rest], step - 1, parts, rest=True)


def _add_source(work: PartSources, step: int, count: int, rest: bool) -> None:
    work.sources.append(CutSource(step, count, rest))


def _by_width(strips: tuple[EqualStrips, ...]) -> Iterator[list[EqualStrips]]:
    """Neighbours of the same width, for which the fence stays where it is."""
    group: list[EqualStrips] = []
    for each in strips:
        if group and (each.node.width, each.node.height) != (group[0].node.width, group[0].node.height):
            yield group
            group = []
        group.append(each)
    yield group


def _setting(node: CutSplit, left: int, size: int, scale: UnitScale) -> Cut:
    """One setting for what is left of a part."""
    width, height = (left, node.height) if node.axis == "x" else (node.width, left)
    return Cut(0, (), 1, scale.size(width), scale.size(height), node.axis, scale.size(size), 1)


def _cut_lines(node: CutSplit, corners: list[UnitPoint], offset: int, size: int, times: int,
               scale: UnitScale) -> Iterator[Segment]:
    """Where the blade goes: along the far edge of every strip."""
    across = scale.size(extent(node, "y" if node.axis == "x" else "x"))
    for corner in corners:
        for k in range(times):
            x, y = (scale.place(at) for at in shifted(corner, node.axis, offset + k * size))
            if node.axis == "x":
                x += scale.size(size)
                yield (x, y), (x, y + across)
            else:
                y += scale.size(size)
                yield (x, y), (x + across, y)


def _shortens(node: CutSplit, count: int) -> bool:
    """True where one length of blanks stays and an offcut goes: the strips were longer than the blanks."""
    if count > 1 or len(node.strips) > 1 or not isinstance(node.rest, OffcutLeaf):
        return False
    return all(_lies_along(leaf, node) for leaf in leaves(node.strips[0].node))


def _lies_along(leaf: BlankLeaf, node: CutSplit) -> bool:
    """True where the longer side of a blank lies along the fence's measure, as long as the strip stays."""
    other = "y" if node.axis == "x" else "x"
    return extent(leaf, node.axis) == extent(node.strips[0].node, node.axis) >= extent(leaf, other)
