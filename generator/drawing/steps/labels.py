"""Place words that belong to a thing in the picture: on it, beside it with a leader line, or in the list.

What stands in the way of words: every line of a picture as straight pieces.
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from generator.drawing.lettering import SIZE, Pair, block
from generator.drawing.pen import Badge, Dimension, Label, Leader, Path
from generator.drawing.recording import BADGE, Recording
from generator.drawing.steps.boxes import XY, Box, centred, segment_meets, segments_cross
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.symbols import symbol_figure
from generator.geometry import Point

CLEAR = 0.7         # mm kept free round words
OFF = 0.4           # mm from words to their leader
RINGS = (4.0, 6.5, 9.5, 13.0, 17.5, 23.0, 30.0, 39.0, 50.0, 64.0)      # mm from the thing to its words
NEAR_RINGS = 4
MOST_TRIED = 60     # free places that are compared
SWEEP = 40          # steps of 2.5 mm to each side along the strip
# directions that leaders leave in: steep ones first, as they are read best
ANGLES = tuple(math.radians(a) for a in (60, 120, -60, -120, 30, 150, -30, -150, 90, -90, 0, 180,
                                         45, 135, -45, -135, 15, 165, -15, -165, 75, 105, -75, -105))


@dataclass(frozen=True, slots=True)
class Note:
    """``words`` about the thing at ``anchors`` (any of them will do, the first best).

    ``inside`` is the box of an area that may hold the words itself; ``row`` is
    what the list says where the picture has no room (its number is set here).
    """

    words: Pair
    anchors: tuple[Point, ...]
    row: ListRow
    on_line: bool = False
    inside: Box | None = None


@dataclass(slots=True)
class NotePlacer:
    """What is taken already. ``hard`` lines may never be covered, ``soft`` ones only where there is no other place."""

    frame: Box
    boxes: list[Box] = field(default_factory=list)
    hard: list[tuple[XY, XY]] = field(default_factory=list)
    soft: list[tuple[XY, XY]] = field(default_factory=list)
    leaders: list[tuple[XY, XY]] = field(default_factory=list)
    shelf: tuple[float, float] = (0.0, 0.0)     # from where to where, upward, a strip was kept free for notes

    def free(self, box: Box, strict: bool) -> bool:
        """True when nothing is there yet; without ``strict``, quiet lines may be."""
        if not box.within(self.frame):
            return False
        wide = box.grown(CLEAR)
        return (not any(wide.overlaps(other) for other in self.boxes) and not _hit(wide, self.hard)
                and not (strict and _hit(wide, self.soft)))

    def clear(self, a: XY, b: XY) -> bool:
        """True when a leader from ``a`` to ``b`` runs through no words and crosses no other leader."""
        return (not any(segment_meets(box, a, b) for box in self.boxes)
                and not any(segments_cross(a, b, *other) for other in self.leaders))

    def crossed(self, a: XY, b: XY) -> int:
        """How many lines that may not be covered a leader would cross."""
        return sum(segments_cross(a, b, *line) for line in self.hard)


@dataclass(slots=True)
class PlacedNote:
    """What came of the notes."""

    labels: list[Label] = field(default_factory=list)
    leaders: list[Leader] = field(default_factory=list)
    badges: list[Badge] = field(default_factory=list)
    rows: list[ListRow] = field(default_factory=list)


def fits_inside(note: Note) -> bool:
    """True when the thing is large enough to hold its own words."""
    if note.inside is None:
        return False
    wide, high = block(note.words)
    return wide + 2 * CLEAR <= note.inside.width and high + 2 * CLEAR <= note.inside.height


def place(notes: Iterable[Note], desk: NotePlacer, number: int) -> PlacedNote:
    """Find room for every note; ``number`` is the first that a badge may have. What is placed is taken on the desk."""
    placed = PlacedNote()
    for note in notes:
        if not (_on_it(note, desk, placed) or _led(note, desk, placed)
                or _numbered(note, desk, placed, number + len(placed.badges))):
            placed.rows.append(note.row)
    return placed


def _on_it(note: Note, desk: NotePlacer, placed: PlacedNote) -> bool:
    if not fits_inside(note):
        return False
    wide, high = block(note.words)
    x, y = note.inside.middle
    step = (note.inside.height - high) / 4
    for dy in (0, step, -step):
        box = centred((x, y + dy), wide, high)
        if desk.free(box, strict=True):
            desk.boxes.append(box)
            placed.labels.append(Label(note.words, Point(*box.middle), SIZE))
            return True
    return False


def _led(note: Note, desk: NotePlacer, placed: PlacedNote) -> bool:
    found = _beside(note, desk, *block(note.words))
    if found is None:
        return False
    box, leader = found
    placed.labels.append(Label(note.words, Point(*box.middle), SIZE))
    placed.leaders.append(leader)
    return True


def _numbered(note: Note, desk: NotePlacer, placed: PlacedNote, number: int) -> bool:
    found = _beside(note, desk, BADGE, BADGE)
    if found is None:
        return False
    box, leader = found
    placed.badges.append(Badge(number, Point(*box.middle)))
    placed.leaders.append(leader)
    placed.rows.append(replace(note.row, number=number))
    return True


def _beside(note: Note, desk: NotePlacer, wide: float, high: float) -> tuple[Box, Leader] | None:
    """A free box with a leader to one of the note's anchors; both are then taken."""
    found = None
    for strict, places in ((True, (_close, _on_shelf, _far)), (False, (_close, _far))):
        found = found or _best(note, desk, wide, high, strict, places)
    if found is None:
        return None
    box, tail, anchor = found
    desk.boxes.append(box)
    desk.hard.append((tail, anchor))
    desk.leaders.append((tail, anchor))
    return box, Leader((Point(*tail), Point(*anchor)), note.on_line)


def _best(note: Note, desk: NotePlacer, wide: float, high: float, strict: bool, places) -> tuple[Box, XY, XY] | None:
    """The first place whose leader crosses no line, or of the first free ones that which crosses fewest."""
    best, fewest, tried = None, math.inf, 0
    for place_at in places:
        for anchor in note.anchors:
            for box in place_at(anchor, wide, high, desk):
                if not desk.free(box, strict):
                    continue
                # whichever end of the thing is nearest to the words is pointed at
                tail, tip = min(((_nearest(box, a), a) for a in note.anchors), key=lambda line: math.dist(*line))
                if not desk.clear(tail, tip):
                    continue
                crossed = desk.crossed(tail, tip)
                if crossed < fewest:
                    best, fewest = (box, tail, tip), crossed
                tried += 1
                if not crossed or tried == MOST_TRIED:
                    return best
    return best


def _close(anchor: XY, wide: float, high: float, desk: NotePlacer) -> Iterator[Box]:
    return _round(anchor, wide, high, RINGS[:NEAR_RINGS])


def _far(anchor: XY, wide: float, high: float, desk: NotePlacer) -> Iterator[Box]:
    return _round(anchor, wide, high, RINGS[NEAR_RINGS:])


def _on_shelf(anchor: XY, wide: float, high: float, desk: NotePlacer) -> Iterator[Box]:
    """Along the strip kept free, starting straight above or below the thing."""
    low, top = desk.shelf
    if top - low < high + 2 * CLEAR:
        return
    near_top = anchor[1] > (low + top) / 2
    first, step = (top - CLEAR - high / 2, -2.0) if near_top else (low + CLEAR + high / 2, 2.0)
    for level in range(int((top - low - high - 2 * CLEAR) / 2.0) + 1):
        for shift in range(SWEEP):
            for sign in (1, -1) if shift else (1,):
                yield centred((anchor[0] + sign * shift * 2.5, first + level * step), wide, high)


def _round(anchor: XY, wide: float, high: float, rings: Iterable[float]) -> Iterator[Box]:
    for ring in rings:
        for angle in ANGLES:
            cosine, sine = math.cos(angle), math.sin(angle)
            at = anchor[0] + cosine * (ring + wide / 2), anchor[1] + sine * (ring + high / 2)
            yield centred(at, wide, high)


def _nearest(box: Box, anchor: XY) -> XY:
    """Where a leader leaves the words: just outside their box, from a long side rather than from a corner."""
    within = box.y0 <= anchor[1] <= box.y1
    inset = 0.0 if within else min(1.0, box.width / 2)
    x = min(max(anchor[0], box.x0 + inset), box.x1 - inset)
    y = min(max(anchor[1], box.y0), box.y1)
    dx, dy = anchor[0] - x, anchor[1] - y
    away = math.hypot(dx, dy) or 1.0
    return x + dx / away * OFF, y + dy / away * OFF


def _hit(box: Box, lines: Iterable[tuple[XY, XY]]) -> bool:
    for a, b in lines:      # asked hundreds of thousands of times: a generator would take longer than the answer
        if segment_meets(box, a, b):
            return True
    return False


FLAT = 0.25     # mm: how far the pieces may leave a curve


def lines_of(dimension: Dimension) -> Iterator[tuple[XY, XY]]:
    """A dimension line and its extension lines."""
    yield dimension.origin, dimension.stops[-1]
    for line in dimension.extensions:
        yield from zip(line, line[1:], strict=False)


def stand_in_the_way(recording: Recording, desk: NotePlacer) -> None:
    """Put all lines drawn so far on the desk: quiet ones as soft, those of this step and all signs as hard."""
    for item in recording.of("stroke"):
        path, _, fresh = item.given
        (desk.hard if fresh else desk.soft).extend(pieces(path))
    for item in recording.of("hole"):
        desk.hard.extend(pieces((item.given[0],)))
    for item in recording.of("symbol"):
        for path in symbol_figure(item.given[0]).lines:
            desk.hard.extend(pieces(path))


def pieces(path: Path) -> Iterator[tuple[XY, XY]]:
    """A path as straight pieces."""
    for stroke in path:
        points = stroke.flattened(FLAT)
        yield from zip(points, points[1:], strict=False)
