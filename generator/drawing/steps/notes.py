"""Placing notes: on the thing that they are about, beside it with a leader line, or in the list.

Labels avoid each other and every line of the picture, which is taken as straight segments.
"""
from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, partial
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from generator.drawing.lettering import LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Dimension, Label, Leader, Path
from generator.drawing.picture_geometry import (
    XY,
    Box,
    boxes_crossed,
    centred_box,
    segment_crosses_box,
    segments_cross,
)
from generator.drawing.recording import BADGE_DIAMETER, Recording
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.symbols import symbol_strokes
from generator.geometry import Point
from generator.geometry.plane import floats

NOTE_CLEARANCE = 0.7         # mm kept free round words
LEADER_OFFSET = 0.4           # mm from words to their leader
MAX_INSET = 1.0         # mm from a corner of the words to their leader
# mm from the thing to its words
RING_DISTANCES = (4.0, 6.5, 9.5, 13.0, 17.5, 23.0, 30.0, 39.0, 50.0, 64.0)
NEAR_RING_COUNT = 4     # of these distances, tried before the strip
MAX_OVER_PAPER = 20.0   # mm that a leader may run over the piece where there is room otherwise
EDGE_WEIGHT = 4         # quiet lines that words may rather cover than the edge of the piece
MAX_CANDIDATES = 60     # free boxes that are compared
STRIP_STEPS, STRIP_STEP = 40, 2.5       # to each side along the strip, mm
STRIP_LINE = 2.0        # mm from line to line of the strip
FLATNESS = 0.25         # mm by which segments may leave a curve
# directions that leaders leave in: steep ones first, as they are read best
RING_ANGLES = tuple(math.radians(a) for a in (60, 120, -60, -120, 30, 150, -30, -150, 90, -90, 0, 180,
                                              45, 135, -45, -135, 15, 165, -15, -165, 75, 105, -75, -105))

Segment = tuple[XY, XY]
Candidates = Callable[[XY, float, float], Iterator[Box]]     # for an anchor and the width and height of a box


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
    """What is taken already.

    ``hard`` lines may never be covered, ``soft`` ones only where nothing else is free.
    """

    frame: Box
    paper: Box = Box(0.0, 0.0, 0.0, 0.0)        # that leaders should not run over
    boxes: list[Box] = field(default_factory=list)
    hard: list[Segment] = field(default_factory=list)
    soft: list[Segment] = field(default_factory=list)
    leaders: list[Segment] = field(default_factory=list)
    note_strip: tuple[float, float] = (0.0, 0.0)     # low and high y of a strip that is kept free for notes

    def free(self, box: Box, strict: bool) -> bool:
        """True when nothing is there yet; without ``strict``, quiet lines may be."""
        return any(quiet or not strict for _, quiet in self.open_boxes([box]))

    def open_boxes(self, boxes: Sequence[Box]) -> Iterator[tuple[Box, bool]]:
        """Those of many boxes where nothing is yet but quiet lines, and whether these are missing too."""
        grown = np.array(boxes, float).reshape(-1, 4) + (
            -NOTE_CLEARANCE, -NOTE_CLEARANCE, NOTE_CLEARANCE, NOTE_CLEARANCE)
        taken = np.array(self.boxes, float).reshape(-1, 4)
        within = np.array([box.within(self.frame) for box in boxes], bool)
        apart = ((grown[:, None, :2] >= taken[:, 2:]) | (taken[:, :2] >= grown[:, None, 2:])).any(axis=-1)
        left = np.flatnonzero(within & apart.all(axis=-1))
        left = left[~boxes_crossed(grown[left], self.hard)]
        for at, covered in zip(left, boxes_crossed(grown[left], self.soft), strict=True):
            yield boxes[int(at)], not covered

    def clear(self, a: XY, b: XY) -> bool:
        """True when a leader from ``a`` to ``b`` runs through no words and crosses no other leader."""
        return (not any(segment_crosses_box(box, a, b) for box in self.boxes)
                and not any(segments_cross(a, b, *other) for other in self.leaders))

    def over_paper(self, a: XY, b: XY) -> float:
        """How far a line runs over the piece, in mm; a straight one leaves its box once."""
        (x0, y0), (x1, y1) = a, b
        low, high = 0.0, 1.0
        for start, step, least, most in ((x0, x1 - x0, self.paper.x0, self.paper.x1),
                                         (y0, y1 - y0, self.paper.y0, self.paper.y1)):
            if step:
                shares = sorted(((least - start) / step, (most - start) / step))
                low, high = max(low, shares[0]), min(high, shares[1])
            elif not least <= start <= most:
                return 0.0
        return max(0.0, high - low) * math.dist(a, b)

    def covered(self, box: Box) -> int:
        """How many quiet lines words would cover; the edge of the piece weighs as several."""
        grown = box.grown(NOTE_CLEARANCE)
        astride = grown.overlaps(self.paper) and not grown.within(self.paper)
        return sum(segment_crosses_box(grown, a, b) for a, b in self.soft) + EDGE_WEIGHT * astride

    def crossed(self, a: XY, b: XY) -> int:
        """How many lines that may not be covered a leader would cross."""
        return sum(segments_cross(a, b, *line) for line in self.hard)


@dataclass(slots=True)
class PlacedNotes:
    """The notes as labels and badges with their leaders, and the rows of the list."""

    labels: list[Label] = field(default_factory=list)
    leaders: list[Leader] = field(default_factory=list)
    badges: list[Badge] = field(default_factory=list)
    rows: list[ListRow] = field(default_factory=list)


def fits_inside(note: Note) -> bool:
    """True when the thing is large enough to hold its own words."""
    if note.inside is None:
        return False
    width, height = text_block_size(note.words)
    return (width + 2 * NOTE_CLEARANCE <= note.inside.width
            and height + 2 * NOTE_CLEARANCE <= note.inside.height)


def place_notes(notes: Iterable[Note], space: OccupiedSpace, number: int) -> PlacedNotes:
    """Find room for every note; ``number`` is the first that a badge may have.

    What is placed becomes occupied.
    """
    placed = PlacedNotes()
    for note in notes:
        if not (_place_inside(note, space, placed) or _place_with_leader(note, space, placed)
                or _place_as_badge(note, space, placed, number + len(placed.badges))):
            placed.rows.append(note.row)
    return placed


def _place_inside(note: Note, space: OccupiedSpace, placed: PlacedNotes) -> bool:
    if note.inside is None or not fits_inside(note):
        return False
    width, height = text_block_size(note.words)
    x, y = note.inside.middle
    step = (note.inside.height - height) / 4
    for dy in (0, step, -step):
        box = centred_box((x, y + dy), width, height)
        if space.free(box, strict=True):
            space.boxes.append(box)
            placed.labels.append(Label(note.words, Point(*box.middle), LETTER_SIZE))
            return True
    return False


def _place_with_leader(note: Note, space: OccupiedSpace, placed: PlacedNotes) -> bool:
    found = _box_with_leader(note, space, *text_block_size(note.words))
    if found is None:
        return False
    box, leader = found
    placed.labels.append(Label(note.words, Point(*box.middle), LETTER_SIZE))
    placed.leaders.append(leader)
    return True


def _place_as_badge(note: Note, space: OccupiedSpace, placed: PlacedNotes, number: int) -> bool:
    found = _box_with_leader(note, space, BADGE_DIAMETER, BADGE_DIAMETER)
    if found is None:
        return False
    box, leader = found
    placed.badges.append(Badge(number, Point(*box.middle)))
    placed.leaders.append(leader)
    placed.rows.append(replace(note.row, number=number))
    return True


def _box_with_leader(note: Note, space: OccupiedSpace, width: float,
                     height: float) -> tuple[Box, Leader] | None:
    """A free box with a leader to one of the note's anchors; both are then taken."""
    near = partial(_ring_candidates, RING_DISTANCES[:NEAR_RING_COUNT])
    far = partial(_ring_candidates, RING_DISTANCES[NEAR_RING_COUNT:])
    strip = partial(_strip_candidates, space.note_strip)
    anchors = [floats(anchor) for anchor in note.anchors]

    @cache
    def places(source: Candidates, anchor: XY) -> list[_Place]:
        return _open_places(space, anchors, tuple(source(anchor, width, height)))

    def candidates(sources: Sequence[Candidates]) -> Iterator[_Place]:
        return (place for source in sources for anchor in anchors for place in places(source, anchor))

    tries = ((MAX_OVER_PAPER, True, (near, strip, far)), (MAX_OVER_PAPER, False, (near, strip, far)),
             (math.inf, True, (near, strip, far)), (math.inf, False, (near, far)))
    found = next((best for most, strict, sources in tries
                  if (best := _best_candidate(candidates(sources), space, strict, most))), None)
    if found is None:
        return None
    space.boxes.append(found.box)
    space.hard.append((found.tail, found.tip))
    space.leaders.append((found.tail, found.tip))
    return found.box, Leader((Point(*found.tail), Point(*found.tip)), note.on_line)


class _Place(NamedTuple):
    """A box for words with its leader; ``quiet`` where it covers no quiet line either."""

    box: Box
    quiet: bool
    tail: XY
    tip: XY


def _open_places(space: OccupiedSpace, anchors: Sequence[XY], boxes: Sequence[Box]) -> list[_Place]:
    """Those of the boxes that may be had, each with a leader to the anchor that is nearest to the words."""
    found = list(space.open_boxes(boxes))
    if not found:
        return []
    corners, points = np.array([box for box, _ in found])[:, None], np.array(anchors)
    outside = np.maximum(np.maximum(corners[..., :2] - points, points - corners[..., 2:]), 0.0)
    # roughly, then exactly among those that could be nearest: a box is long, an end of a leader lies inside
    distances = np.hypot(outside[..., 0], outside[..., 1])
    near = distances <= distances.min(axis=1, keepdims=True) + 2 * MAX_INSET + 2 * LEADER_OFFSET
    places = []
    for (box, quiet), close in zip(found, near, strict=True):
        tail, tip = min(((_leader_end(box, anchors[k]), anchors[k]) for k in map(int, np.flatnonzero(close))),
                        key=lambda line: math.dist(*line))
        places.append(_Place(box, quiet, tail, tip))
    return places


def _best_candidate(places: Iterable[_Place], space: OccupiedSpace, strict: bool,
                    most: float) -> _Place | None:
    """The first box that crosses no line with its leader, else of the first free ones that of fewest.

    Leaders that run over the piece by more than ``most`` mm are left out.
    """
    best, fewest, tried = None, math.inf, 0
    for place in places:
        box, quiet, tail, tip = place
        if strict and not quiet or space.over_paper(tail, tip) > most or not space.clear(tail, tip):
            continue
        crossed = space.crossed(tail, tip) + (0 if strict else space.covered(box))
        if crossed < fewest:
            best, fewest = place, crossed
        tried += 1
        if not crossed or tried == MAX_CANDIDATES:
            return best
    return best


def _strip_candidates(strip: tuple[float, float], anchor: XY, width: float, height: float) -> Iterator[Box]:
    """Along the strip kept free, starting straight above or below the anchor."""
    low, top = strip
    room = top - low - height - 2 * NOTE_CLEARANCE
    if room < 0:
        return
    near_top = anchor[1] > (low + top) / 2
    first = top - NOTE_CLEARANCE - height / 2 if near_top else low + NOTE_CLEARANCE + height / 2
    step = -STRIP_LINE if near_top else STRIP_LINE
    for line in range(int(room / STRIP_LINE) + 1):
        for shift in range(STRIP_STEPS):
            for sign in (1, -1) if shift else (1,):
                yield centred_box((anchor[0] + sign * shift * STRIP_STEP, first + line * step), width, height)


def _ring_candidates(rings: Iterable[float], anchor: XY, width: float, height: float) -> Iterator[Box]:
    """All round the anchor, at distances of mm."""
    for ring in rings:
        for angle in RING_ANGLES:
            cosine, sine = math.cos(angle), math.sin(angle)
            at = anchor[0] + cosine * (ring + width / 2), anchor[1] + sine * (ring + height / 2)
            yield centred_box(at, width, height)


def _leader_end(box: Box, anchor: XY) -> XY:
    """Where a leader leaves the words: just outside their box, from a long side rather than from a corner."""
    within = box.y0 <= anchor[1] <= box.y1
    inset = 0.0 if within else min(MAX_INSET, box.width / 2)
    x = min(max(anchor[0], box.x0 + inset), box.x1 - inset)
    y = min(max(anchor[1], box.y0), box.y1)
    dx, dy = anchor[0] - x, anchor[1] - y
    distance = math.hypot(dx, dy) or 1.0
    return x + dx / distance * LEADER_OFFSET, y + dy / distance * LEADER_OFFSET


def dimension_segments(dimension: Dimension) -> Iterator[Segment]:
    """A dimension line and its extension lines."""
    for line in ((dimension.origin, dimension.stops[-1]), *dimension.extensions):
        yield from pairwise(map(floats, line))


def add_obstacles(recording: Recording, space: OccupiedSpace) -> None:
    """Occupy all lines drawn so far: quiet ones as soft, those of this step and all signs as hard."""
    for item in recording.of("stroke"):
        path, _, fresh = item.arguments
        (space.hard if fresh else space.soft).extend(flattened(path))
    for item in recording.of("hole"):
        space.hard.extend(flattened((item.arguments[0],)))
    for item in recording.of("symbol"):
        for path in symbol_strokes(item.arguments[0]).lines:
            space.hard.extend(flattened(path))


def flattened(path: Path) -> Iterator[Segment]:
    """A path as straight segments."""
    for stroke in path:
        yield from pairwise(map(floats, stroke.flattened(FLATNESS)))
