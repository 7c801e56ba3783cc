"""Place words that belong to a thing in the picture: on it, beside it with a leader line, or in the list.

What stands in the way of words: every line of a picture as straight pieces.
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from generator.drawing.lettering import LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Dimension, Label, Leader, Path
from generator.drawing.picture_geometry import XY, Box, centred_box, segment_crosses_box, segments_cross
from generator.drawing.recording import BADGE_DIAMETER, Recording
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.symbols import symbol_strokes
from generator.geometry import Point

NOTE_CLEARANCE = 0.7         # mm kept free round words
LEADER_OFFSET = 0.4           # mm from words to their leader
RING_DISTANCES = (4.0, 6.5, 9.5, 13.0, 17.5, 23.0, 30.0, 39.0, 50.0, 64.0)      # mm from the thing to its words
NEAR_RING_COUNT = 4
MAX_CANDIDATES = 60     # free places that are compared
STRIP_STEPS = 40          # steps of 2.5 mm to each side along the strip
# directions that leaders leave in: steep ones first, as they are read best
RING_ANGLES = tuple(math.radians(a) for a in (60, 120, -60, -120, 30, 150, -30, -150, 90, -90, 0, 180,
                                         45, 135, -45, -135, 15, 165, -15, -165, 75, 105, -75, -105))


@dataclass(frozen=True, slots=True)
class Note:
    """``words`` about the thing at ``anchors`` (any of them will do, the first best).

    ``inside`` is the box of an area that may hold the words itself; ``row`` is
    what the list says where the picture has no room (its number is set here).
    """

    words: DualText
    anchors: tuple[Point, ...]
    row: ListRow
    on_line: bool = False
    inside: Box | None = None


@dataclass(slots=True)
class OccupiedSpace:
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
        wide = box.grown(NOTE_CLEARANCE)
        return (not any(wide.overlaps(other) for other in self.boxes) and not _touches_any(wide, self.hard)
                and not (strict and _touches_any(wide, self.soft)))

    def clear(self, a: XY, b: XY) -> bool:
        """True when a leader from ``a`` to ``b`` runs through no words and crosses no other leader."""
        return (not any(segment_crosses_box(box, a, b) for box in self.boxes)
                and not any(segments_cross(a, b, *other) for other in self.leaders))

    def crossed(self, a: XY, b: XY) -> int:
        """How many lines that may not be covered a leader would cross."""
        return sum(segments_cross(a, b, *line) for line in self.hard)


@dataclass(slots=True)
class PlacedNotes:
    """What came of the notes."""

    labels: list[Label] = field(default_factory=list)
    leaders: list[Leader] = field(default_factory=list)
    badges: list[Badge] = field(default_factory=list)
    rows: list[ListRow] = field(default_factory=list)


def fits_inside(note: Note) -> bool:
    """True when the thing is large enough to hold its own words."""
    if note.inside is None:
        return False
    wide, high = text_block_size(note.words)
    return wide + 2 * NOTE_CLEARANCE <= note.inside.width and high + 2 * NOTE_CLEARANCE <= note.inside.height


def place_notes(notes: Iterable[Note], desk: OccupiedSpace, number: int) -> PlacedNotes:
    """Find room for every note; ``number`` is the first that a badge may have. What is placed is taken on the desk."""
    placed = PlacedNotes()
    for note in notes:
        if not (_place_inside(note, desk, placed) or _place_with_leader(note, desk, placed)
                or _place_as_badge(note, desk, placed, number + len(placed.badges))):
            placed.rows.append(note.row)
    return placed


def _place_inside(note: Note, desk: OccupiedSpace, placed: PlacedNotes) -> bool:
    if not fits_inside(note):
        return False
    wide, high = text_block_size(note.words)
    x, y = note.inside.middle
    step = (note.inside.height - high) / 4
    for dy in (0, step, -step):
        box = centred_box((x, y + dy), wide, high)
        if desk.free(box, strict=True):
            desk.boxes.append(box)
            placed.labels.append(Label(note.words, Point(*box.middle), LETTER_SIZE))
            return True
    return False


def _place_with_leader(note: Note, desk: OccupiedSpace, placed: PlacedNotes) -> bool:
    found = _box_with_leader(note, desk, *text_block_size(note.words))
    if found is None:
        return False
    box, leader = found
    placed.labels.append(Label(note.words, Point(*box.middle), LETTER_SIZE))
    placed.leaders.append(leader)
    return True


def _place_as_badge(note: Note, desk: OccupiedSpace, placed: PlacedNotes, number: int) -> bool:
    found = _box_with_leader(note, desk, BADGE_DIAMETER, BADGE_DIAMETER)
    if found is None:
        return False
    box, leader = found
    placed.badges.append(Badge(number, Point(*box.middle)))
    placed.leaders.append(leader)
    placed.rows.append(replace(note.row, number=number))
    return True


def _box_with_leader(note: Note, desk: OccupiedSpace, wide: float, high: float) -> tuple[Box, Leader] | None:
    """A free box with a leader to one of the note's anchors; both are then taken."""
    found = None
    for strict, places in ((True, (_close_candidates, _strip_candidates, _far_candidates)), (False, (_close_candidates, _far_candidates))):
        found = found or _best_candidate(note, desk, wide, high, strict, places)
    if found is None:
        return None
    box, tail, anchor = found
    desk.boxes.append(box)
    desk.hard.append((tail, anchor))
    desk.leaders.append((tail, anchor))
    return box, Leader((Point(*tail), Point(*anchor)), note.on_line)


def _best_candidate(note: Note, desk: OccupiedSpace, wide: float, high: float, strict: bool, places) -> tuple[Box, XY, XY] | None:
    """The first place whose leader crosses no line, or of the first free ones that which crosses fewest."""
    best, fewest, tried = None, math.inf, 0
    for place_at in places:
        for anchor in note.anchors:
            for box in place_at(anchor, wide, high, desk):
                if not desk.free(box, strict):
                    continue
                # whichever end of the thing is nearest to the words is pointed at
                tail, tip = min(((_leader_end(box, a), a) for a in note.anchors), key=lambda line: math.dist(*line))
                if not desk.clear(tail, tip):
                    continue
                crossed = desk.crossed(tail, tip)
                if crossed < fewest:
                    best, fewest = (box, tail, tip), crossed
                tried += 1
                if not crossed or tried == MAX_CANDIDATES:
                    return best
    return best


def _close_candidates(anchor: XY, wide: float, high: float, desk: OccupiedSpace) -> Iterator[Box]:
    return _ring_candidates(anchor, wide, high, RING_DISTANCES[:NEAR_RING_COUNT])


def _far_candidates(anchor: XY, wide: float, high: float, desk: OccupiedSpace) -> Iterator[Box]:
    return _ring_candidates(anchor, wide, high, RING_DISTANCES[NEAR_RING_COUNT:])


def _strip_candidates(anchor: XY, wide: float, high: float, desk: OccupiedSpace) -> Iterator[Box]:
    """Along the strip kept free, starting straight above or below the thing."""
    low, top = desk.shelf
    if top - low < high + 2 * NOTE_CLEARANCE:
        return
    near_top = anchor[1] > (low + top) / 2
    first, step = (top - NOTE_CLEARANCE - high / 2, -2.0) if near_top else (low + NOTE_CLEARANCE + high / 2, 2.0)
    for level in range(int((top - low - high - 2 * NOTE_CLEARANCE) / 2.0) + 1):
        for shift in range(STRIP_STEPS):
            for sign in (1, -1) if shift else (1,):
                yield centred_box((anchor[0] + sign * shift * 2.5, first + level * step), wide, high)


def _ring_candidates(anchor: XY, wide: float, high: float, rings: Iterable[float]) -> Iterator[Box]:
    for ring in rings:
        for angle in RING_ANGLES:
            cosine, sine = math.cos(angle), math.sin(angle)
            at = anchor[0] + cosine * (ring + wide / 2), anchor[1] + sine * (ring + high / 2)
            yield centred_box(at, wide, high)


def _leader_end(box: Box, anchor: XY) -> XY:
    """Where a leader leaves the words: just outside their box, from a long side rather than from a corner."""
    within = box.y0 <= anchor[1] <= box.y1
    inset = 0.0 if within else min(1.0, box.width / 2)
    x = min(max(anchor[0], box.x0 + inset), box.x1 - inset)
    y = min(max(anchor[1], box.y0), box.y1)
    dx, dy = anchor[0] - x, anchor[1] - y
    away = math.hypot(dx, dy) or 1.0
    return x + dx / away * LEADER_OFFSET, y + dy / away * LEADER_OFFSET


def _touches_any(box: Box, lines: Iterable[tuple[XY, XY]]) -> bool:
    for a, b in lines:      # asked hundreds of thousands of times: a generator would take longer than the answer
        if segment_crosses_box(box, a, b):
            return True
    return False


FLATNESS = 0.25     # mm: how far the pieces may leave a curve


def dimension_segments(dimension: Dimension) -> Iterator[tuple[XY, XY]]:
    """A dimension line and its extension lines."""
    yield dimension.origin, dimension.stops[-1]
    for line in dimension.extensions:
        yield from zip(line, line[1:], strict=False)


def add_obstacles(recording: Recording, desk: OccupiedSpace) -> None:
    """Put all lines drawn so far on the desk: quiet ones as soft, those of this step and all signs as hard."""
    for item in recording.of("stroke"):
        path, _, fresh = item.given
        (desk.hard if fresh else desk.soft).extend(flattened(path))
    for item in recording.of("hole"):
        desk.hard.extend(flattened((item.given[0],)))
    for item in recording.of("symbol"):
        for path in symbol_strokes(item.given[0]).lines:
            desk.hard.extend(flattened(path))


def flattened(path: Path) -> Iterator[tuple[XY, XY]]:
    """A path as straight pieces."""
    for stroke in path:
        points = stroke.flattened(FLATNESS)
        yield from zip(points, points[1:], strict=False)
