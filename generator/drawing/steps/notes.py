"""Placing notes: on the thing that they are about, beside it with a leader line, or in the list.

Labels avoid each other and every line of the picture, which is taken as straight segments.
"""
from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache, partial
from typing import NamedTuple

import numpy as np

from generator.dataclass import dataclass, field, replace
from generator.drawing.lettering import LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Label, Leader
from generator.drawing.picture_geometry import (
    XY,
    Box,
    Segment,
    any_crosses,
    boxes_crossed,
    centred_box,
    flattened,
    segments_cross,
)
from generator.drawing.recording import BADGE_DIAMETER, Recording
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.symbols import symbol_strokes
from generator.geometry import Point
from generator.geometry.arrays import BoolArray, FloatArray, IntArray
from generator.geometry.plane import floats
from generator.units import TOLERANCE

NOTE_CLEARANCE = 0.7         # mm kept free round words
LEADER_OFFSET = 0.4           # mm from words to their leader
MAX_INSET = 1.0         # mm from a corner of the words to their leader
# mm from the thing to its words
RING_DISTANCES = (4.0, 6.5, 9.5, 13.0, 17.5, 23.0, 30.0, 39.0, 50.0, 64.0)
NEAR_RING_COUNT = 4     # of these distances, tried before the strip
MAX_OVER_PAPER = 16.8   # mm that a leader may run over the piece where there is room: 0.3 of its height
EDGE_WEIGHT = 4         # quiet lines that words may rather cover than the edge of the piece
MAX_CANDIDATES = 60     # free boxes that are compared
STRIP_STEPS, STRIP_STEP = 40, 2.5       # to each side along the strip, mm
STRIP_LINE = 2.0        # mm from line to line of the strip
# directions that leaders leave in: steep ones first, as they are read best
RING_ANGLES = (60, 120, -60, -120, 30, 150, -30, -150, 90, -90, 0, 180, 45, 135, -45, -135, 15, 165, -15,
               -165,
               75, 105, -75, -105)
RING_DIRECTIONS = np.array([(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in RING_ANGLES]).T
GROWTH = np.array((-NOTE_CLEARANCE, -NOTE_CLEARANCE, NOTE_CLEARANCE, NOTE_CLEARANCE))      # of a box

Candidates = Callable[[FloatArray, float, float], FloatArray]    # boxes for an anchor, a width and a height


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
        _, quiet = self.obstacles().open_boxes(np.array([box], float))
        return bool(quiet.any() if strict else len(quiet))

    def may_lead(self, start: XY, end: XY, most: int) -> bool:
        """True when a leader is clear of words and others, and crosses no more hard lines than that."""
        obstacles, line = self.obstacles(), np.array([(start, end)], float)
        return bool(obstacles.clear(line)[0] and obstacles.crossed(line)[0] <= most)

    def obstacles(self) -> Obstacles:
        """All that is taken now."""
        lines = (np.array(each, float).reshape(-1, 2, 2) for each in (self.hard, self.soft, self.leaders))
        return Obstacles(self.frame, self.paper, np.array(self.boxes, float).reshape(-1, 4), *lines)


@dataclass(frozen=True, slots=True)
class Obstacles:
    """What is taken, for questions about many boxes (N × 4) or leaders (N × 2 × 2) at once, all in mm."""

    frame: Box
    paper: Box
    boxes: FloatArray           # M × 4
    hard: FloatArray            # M × 2 × 2, as the next two
    soft: FloatArray
    leaders: FloatArray

    def open_boxes(self, boxes: FloatArray) -> tuple[IntArray, BoolArray]:
        """The numbers of those where nothing is yet but quiet lines, and whether these are missing too."""
        grown, frame = boxes + GROWTH, self.frame
        within = (boxes[:, :2] >= frame[:2]).all(axis=1) & (boxes[:, 2:] <= frame[2:]).all(axis=1)
        left = np.flatnonzero(within)
        (x0, y0, x1, y1), (left_x, low_y, right_x, high_y) = grown[left].T[:, :, None], self.boxes.T
        left = left[((x0 >= right_x) | (left_x >= x1) | (y0 >= high_y) | (low_y >= y1)).all(axis=1)]
        left = left[~any_crosses(grown[left], self.hard)]
        return left, ~any_crosses(grown[left], self.soft)

    def clear(self, lines: FloatArray) -> BoolArray:
        """Whether a leader runs through no words and crosses no other leader."""
        words, others = boxes_crossed(self.boxes, lines), segments_cross(lines, self.leaders)
        return np.asarray(~(words.any(axis=0) | others.any(axis=1)), bool)

    def over_paper(self, lines: FloatArray) -> FloatArray:
        """How far each line runs over the piece; a straight one leaves its box once."""
        start, step = lines[:, 0], lines[:, 1] - lines[:, 0]
        least, most = np.array(self.paper[:2]), np.array(self.paper[2:])
        level = step == 0.0
        with np.errstate(divide="ignore", invalid="ignore"):
            shares = (least - start) / step, (most - start) / step
        outside = (level & ((start < least) | (start > most))).any(axis=1)
        low = np.where(level, 0.0, np.minimum(*shares)).max(axis=1).clip(min=0.0)
        high = np.where(level, 1.0, np.maximum(*shares)).min(axis=1).clip(max=1.0)
        return np.where(outside, 0.0, (high - low).clip(min=0.0) * np.hypot(step[:, 0], step[:, 1]))

    def covered(self, boxes: FloatArray) -> IntArray:
        """How many quiet lines words would cover; the edge of the piece weighs as several."""
        grown, paper = boxes + GROWTH, self.paper
        on = (grown[:, :2] < paper[2:]).all(axis=1) & (grown[:, 2:] > paper[:2]).all(axis=1)
        within = (grown[:, :2] >= paper[:2]).all(axis=1) & (grown[:, 2:] <= paper[2:]).all(axis=1)
        return np.asarray(boxes_crossed(grown, self.soft).sum(axis=1) + EDGE_WEIGHT * (on & ~within), np.intp)

    def crossed(self, lines: FloatArray) -> IntArray:
        """How many lines that may not be covered each leader would cross."""
        return np.asarray(segments_cross(lines, self.hard).sum(axis=1), np.intp)


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
        free = number + len(placed.badges)
        if not (_place_inside(note, space, placed)
                or any(_place_with_leader(note, space, placed, most)
                       or _place_as_badge(note, space, placed, free, most)
                       for most in (MAX_OVER_PAPER, math.inf))):    # rather a number than a line across
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


def _place_with_leader(note: Note, space: OccupiedSpace, placed: PlacedNotes, most: float) -> bool:
    found = _box_with_leader(note, space, text_block_size(note.words), most)
    if found is None:
        return False
    box, leader = found
    placed.labels.append(Label(note.words, Point(*box.middle), LETTER_SIZE))
    placed.leaders.append(leader)
    return True


def _place_as_badge(note: Note, space: OccupiedSpace, placed: PlacedNotes, number: int, most: float) -> bool:
    found = _box_with_leader(note, space, (BADGE_DIAMETER, BADGE_DIAMETER), most)
    if found is None:
        return False
    box, leader = found
    placed.badges.append(Badge(number, Point(*box.middle)))
    placed.leaders.append(leader)
    placed.rows.append(replace(note.row, number=number))
    return True


def _box_with_leader(note: Note, space: OccupiedSpace, size: tuple[float, float],
                     most: float) -> tuple[Box, Leader] | None:
    """A free box with a leader, over ``most`` mm of the piece, to one of the anchors; both are then taken."""
    near = partial(_ring_candidates, RING_DISTANCES[:NEAR_RING_COUNT])
    far = partial(_ring_candidates, RING_DISTANCES[NEAR_RING_COUNT:])
    strip = partial(_strip_candidates, space.note_strip)
    anchors, obstacles = np.array(list(map(floats, note.anchors))), space.obstacles()

    @cache
    def places(source: Candidates, anchor: int) -> _Places:
        return _open_places(obstacles, anchors, source(anchors[anchor], *size))

    def candidates(sources: Sequence[Candidates]) -> Iterator[_Places]:
        return (places(source, anchor) for source in sources for anchor in range(len(anchors)))

    tries = (True, (near, strip, far)), (False, (near, far) if most == math.inf else (near, strip, far))
    found = next((best for strict, sources in tries
                  if (best := _best_candidate(candidates(sources), obstacles, strict, most))), None)
    if found is None:
        return None
    box, (tail, tip) = found
    space.boxes.append(box)
    space.hard.append((tail, tip))
    space.leaders.append((tail, tip))
    return box, Leader((Point(*tail), Point(*tip)), note.on_line)


class _Places(NamedTuple):
    """Boxes for words (N × 4) with their leaders (N × 2 × 2, tail and tip), which are clear of words.

    ``quiet`` where it covers no quiet line either; ``over`` is how far the leader runs over the piece, mm.
    """

    boxes: FloatArray
    quiet: BoolArray
    leaders: FloatArray
    over: FloatArray


def _open_places(obstacles: Obstacles, anchors: FloatArray, boxes: FloatArray) -> _Places:
    """Those of the boxes that may be had, each with a leader to the anchor that is nearest to the words."""
    open_ones, quiet = obstacles.open_boxes(boxes)
    boxes = boxes[open_ones]
    tails = _leader_ends(boxes, anchors)
    distances = np.hypot(*np.moveaxis(anchors - tails, -1, 0))
    # of those that differ by rounding alone the first
    nearest = (distances <= distances.min(axis=1, keepdims=True) + TOLERANCE).argmax(axis=1)
    leaders = np.stack((tails[np.arange(len(boxes)), nearest], anchors[nearest]), axis=1)
    clear = obstacles.clear(leaders)
    return _Places(boxes[clear], quiet[clear], leaders[clear], obstacles.over_paper(leaders[clear]))


def _best_candidate(found: Iterable[_Places], obstacles: Obstacles, strict: bool,
                    most: float) -> tuple[Box, Segment] | None:
    """The first box that crosses no line with its leader, else of the first free ones that of fewest.

    Leaders that run over the piece by more than ``most`` mm are left out.
    """
    best, fewest, tried = None, math.inf, 0
    for places in found:
        allowed = np.flatnonzero((places.over <= most) & (places.quiet | (not strict)))
        allowed = allowed[:MAX_CANDIDATES - tried]
        if not len(allowed):
            continue
        boxes, leaders = places.boxes[allowed], places.leaders[allowed]
        crossed = obstacles.crossed(leaders) + (0 if strict else obstacles.covered(boxes))
        first = int(crossed.argmin())
        if crossed[first] < fewest:
            (x0, y0), (x1, y1) = leaders[first].tolist()
            best, fewest = (Box(*boxes[first].tolist()), ((x0, y0), (x1, y1))), crossed[first]
        tried += len(allowed)
        if not fewest or tried == MAX_CANDIDATES:
            return best
    return best


def _strip_candidates(strip: tuple[float, float], anchor: FloatArray, width: float,
                      height: float) -> FloatArray:
    """Along the strip kept free, starting straight above or below the anchor."""
    low, top = strip
    room = top - low - height - 2 * NOTE_CLEARANCE
    if room < 0:
        return np.zeros((0, 4))
    near_top = anchor[1] > (low + top) / 2
    first = top - NOTE_CLEARANCE - height / 2 if near_top else low + NOTE_CLEARANCE + height / 2
    step = -STRIP_LINE if near_top else STRIP_LINE
    lines = first + np.arange(int(room / STRIP_LINE) + 1, dtype=float) * step
    shifts = [sign * shift * STRIP_STEP for shift in range(STRIP_STEPS)
              for sign in ((1, -1) if shift else (1,))]
    return _boxes_at(anchor[0] + np.array(shifts), lines[:, None], width, height)


def _ring_candidates(rings: Iterable[float], anchor: FloatArray, width: float, height: float) -> FloatArray:
    """All round the anchor, at distances of mm."""
    reach = np.array(list(rings))[:, None]
    cosines, sines = RING_DIRECTIONS
    return _boxes_at(anchor[0] + cosines * (reach + width / 2), anchor[1] + sines * (reach + height / 2),
                     width, height)


def _boxes_at(x: FloatArray, y: FloatArray, width: float, height: float) -> FloatArray:
    """Boxes (N × 4) of one size around places, row by row."""
    return np.stack(np.broadcast_arrays(x - width / 2, y - height / 2, x + width / 2, y + height / 2),
                    axis=-1).reshape(-1, 4)


def _leader_ends(boxes: FloatArray, anchors: FloatArray) -> FloatArray:
    """Where leaders leave the words (N × M × 2): just outside a box, rather from a long side."""
    low, high = boxes[:, None, :2], boxes[:, None, 2:]
    level = (low[..., 1] <= anchors[:, 1]) & (anchors[:, 1] <= high[..., 1])
    inset = np.where(level, 0.0, np.minimum(MAX_INSET, (high[..., 0] - low[..., 0]) / 2))
    x = anchors[:, 0].clip(low[..., 0] + inset, high[..., 0] - inset)
    ends = np.stack((x, anchors[:, 1].clip(low[..., 1], high[..., 1])), axis=-1)
    away = anchors - ends
    distances = np.hypot(away[..., :1], away[..., 1:])
    return np.asarray(ends + away / np.where(distances == 0.0, 1.0, distances) * LEADER_OFFSET, float)


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
