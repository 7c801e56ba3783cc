"""Judge a layout from its records alone: it knows nothing of how one is found.

It cuts a sheet of its own along the lines of every cut, then once more by the
settings of the fence, and compares what is on the table in the end.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from fractions import Fraction

from generator.paper.sheet_layouts import Cut, SheetLayout

Box = tuple[Fraction, Fraction, Fraction, Fraction]     # left, bottom, right, top


def faults(layout: SheetLayout, sizes: Mapping[str, tuple[Fraction, Fraction]]) -> list[str]:
    """Everything that is wrong with a layout of blanks of these ``sizes``; [] for a sound one."""
    if not layout.placements:       # then nothing is cut
        return [f"an empty layout has {what}" for what in ("cuts", "offcuts", "sets")
                if getattr(layout, what)]
    boxes = [_box(p) for p in layout.placements]
    return [*_wrong_sizes(layout, sizes), *_off_the_sheet(layout, boxes), *_on_each_other(boxes),
            *_wrong_lines(layout), *_wrong_settings(layout)]


def _box(part) -> Box:
    return part.x, part.y, part.x + part.width, part.y + part.height


def _wrong_sizes(layout: SheetLayout, sizes) -> Iterable[str]:
    for p in layout.placements:
        wide, high = sizes[p.piece]
        if (p.width, p.height) != ((high, wide) if p.turned else (wide, high)):
            yield f"{p} is not as large as its blank"


def _off_the_sheet(layout: SheetLayout, boxes: list[Box]) -> Iterable[str]:
    width, height = Fraction(layout.sheet.width.value), Fraction(layout.sheet.height.value)
    trim = Fraction(layout.sheet.trim.value)
    width, height = (width - trim, height) if height >= width else (width, height - trim)
    yield from (f"{b} leaves the sheet" for b in boxes if b[0] < 0 or b[1] < 0 or b[2] > width
                or b[3] > height)


def _on_each_other(boxes: list[Box]) -> Iterable[str]:
    for k, a in enumerate(boxes):
        for b in boxes[k + 1:]:
            if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
                yield f"{a} lies on {b}"


# -- along the lines --------------------------------------------------------


def _wrong_lines(layout: SheetLayout) -> Iterable[str]:
    """Cut along every line, in order; each must go through one part from edge to edge."""
    parts: list[Box] = [(Fraction(0), Fraction(0), Fraction(layout.sheet.width.value),
                         Fraction(layout.sheet.height.value))]
    for cut in layout.cuts:
        if len(cut.lines) != cut.parts * cut.times:
            yield f"cut {cut.step} has {len(cut.lines)} lines for {cut.parts} × {cut.times} cuts"
        for line in cut.lines:
            part = next((p for p in parts if _from_edge_to_edge(line, p)), None)
            if part is None:
                yield f"cut {cut.step}: {line} does not run from edge to edge"
                return
            parts.remove(part)
            # what the blade takes of a selvedge is part of the selvedge
            parts += _halves(part, line, layout.kerf if not cut.trims else Fraction(0))
    expected = Counter(map(_box, (*layout.placements, *layout.offcuts)))
    if Counter(parts) != expected:
        yield (f"cut along the lines: {Counter(parts) - expected} too many, {expected - Counter(parts)} "
               "missing")


def _from_edge_to_edge(line, part: Box) -> bool:
    (x0, y0), (x1, y1) = line
    if x0 == x1:
        return part[0] < x0 < part[2] and (y0, y1) == (part[1], part[3])
    return part[1] < y0 < part[3] and (x0, x1) == (part[0], part[2])


def _halves(part: Box, line, kerf: Fraction) -> list[Box]:
    (x, y), (other, _) = line
    if x == other:
        both = [(part[0], part[1], x, part[3]), (x + kerf, part[1], part[2], part[3])]
    else:
        both = [(part[0], part[1], part[2], y), (part[0], y + kerf, part[2], part[3])]
    return [b for b in both if b[0] < b[2] and b[1] < b[3]]


# -- by the settings --------------------------------------------------------


def _wrong_settings(layout: SheetLayout) -> Iterable[str]:
    """Do what each setting says with parts of which only the sizes are known."""
    table: dict[tuple[int, bool], list[tuple[Fraction, Fraction]]] = {
        (0, True): [(Fraction(layout.sheet.width.value), Fraction(layout.sheet.height.value))]}
    for number, cut in enumerate(layout.cuts, start=1):
        if cut.step != number:
            yield f"cut {cut.step} is number {number}"
        taken = []
        for key, count in [((s.step, s.rest), s.count) for s in cut.sources] or [((0, True), 1)]:
            for _ in range(count):
                size = (cut.width, cut.height)
                if size not in table.get(key, ()):      # what is left may be as wide as a strip by chance
                    key = key[0], not key[1]
                if size not in table.get(key, ()):
                    yield f"cut {cut.step}: no part {size} comes from {key}"
                    return
                table[key].remove(size)
                taken.append(size)
        if len(taken) != cut.parts:
            yield f"cut {cut.step} speaks of {cut.parts} parts, {len(taken)} come to it"
        strips, rests = [], []
        for size in taken:
            _cut(size, cut, layout.kerf if not cut.trims else Fraction(0), strips, rests)
        table[cut.step, False], table[cut.step, True] = strips, rests
    left = Counter(size for sizes in table.values() for size in sizes)
    expected = Counter((p.width, p.height) for p in (*layout.placements, *layout.offcuts))
    if left != expected:
        yield f"cut by the settings: {left - expected} too many, {expected - left} missing"


def _cut(size, cut: Cut, kerf: Fraction, strips: list, rests: list) -> None:
    along = size[0] if cut.axis == "x" else size[1]

    def sized(new: Fraction):
        return (new, size[1]) if cut.axis == "x" else (size[0], new)
    for _ in range(cut.times):
        strips.append(sized(cut.fence))
        along = max(along - cut.fence - kerf, Fraction(0))
    if along > 0:
        (strips if along == cut.fence else rests).append(sized(along))
