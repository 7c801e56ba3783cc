"""The shape of a guide: what is cut out so that a stylus can follow its edge.

A stylus touches the edge with the side of its tip, so the edge lies beside
the line by the radius of the tip: a guide that is traced around is smaller,
an opening larger; a blade runs along the edge itself (common practice, no source).

Guides to cut out: at true size, with alignment points, for who lacks the oval, the round die or the plate.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from types import MappingProxyType

from generator.dataclass import dataclass, replace
from generator.drawing import lettering
from generator.drawing.pen import Path, Role
from generator.drawing.picture_geometry import View
from generator.drawing.process_table import INNER_EDGES
from generator.drawing.recording import RecordingPen
from generator.drawing.templates.curves import Curve, GuideCurve
from generator.drawing.templates.plan import LINE_MARGIN, TrueSizePiece, moved_piece
from generator.drawing.templates.processes import ProcessedPiece
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Stroke
from generator.geometry.ovals import radius_through
from generator.geometry.tolerances import MESH_CHORD_TOLERANCE
from generator.locale import ENGLISH, Locale, capital
from generator.units import TOLERANCE, Quantity, as_text, display_measure, length

TICKS, PUNCHED = "tick", "punch"      # the processes of what is drawn on a guide besides its edges
OUTSIDE, INSIDE = "outside", "inside"
RUN_OUT = 6.0           # mm that the edge goes on beyond both ends, for the stylus to run in and out
GUIDE_BODY = 16.0         # mm of paper behind the edge, to hold it by
TICK_LENGTH = 5.0           # mm of a tick from the line into the guide
AXIS_CROSS_SIZE = 4.0         # mm: half of the long arm of the cross that shows an oval's axes, and a little
# of an arc and its runs together: the guide must stay one piece with its ends apart
MAX_RING_ANGLE = math.radians(340)


def edge_of(stroke: Curve, tip: float, edge: str) -> Path:
    """What the stylus follows: the line moved by the ``tip``'s radius, and lengthened at both ends.

    From right to left.

    Raises ValueError where the curve is too narrow for the tip.
    """
    by = tip if edge == INSIDE else -tip
    if isinstance(stroke, Circle):
        return (Circle(stroke.center, _left(float(stroke.radius) + by)),)
    if isinstance(stroke, Arc):
        return (_arc(stroke, by),)
    return _oval(stroke, by)


def _left(radius: float) -> float:
    if radius <= 0:
        raise ValueError("the curve is narrower than the tip of the stylus")
    return radius


def _arc(stroke: Arc, by: float) -> Arc:
    cx, cy, radius, *_ = stroke.frame
    run = min(RUN_OUT / radius, max(0.0, (MAX_RING_ANGLE - abs(stroke.sweep)) / 2))
    half, radius = abs(stroke.sweep) / 2 + run, _left(radius + by)
    ends = [Point(cx + side * radius * math.sin(half), cy + radius * math.cos(half)) for side in (1, -1)]
    return Arc(ends[0], ends[1], -radius * (1 - math.cos(half)))


def _oval(stroke: EllipseArc, by: float) -> Path:
    """An ellipse's parallel, which is no ellipse: lines that leave it by :data:`MESH_CHORD_TOLERANCE`."""
    cx, cy, ux, uy, vx, vy = stroke.frame
    rx, ry = math.hypot(ux, uy), math.hypot(vx, vy)
    _left(min(rx, ry) ** 2 / max(rx, ry) + by)
    run = min(RUN_OUT / min(rx, ry), max(0.0, (MAX_RING_ANGLE - abs(stroke.sweep)) / 2))
    run = math.copysign(run, stroke.sweep)
    first, last = stroke.first + stroke.sweep + run, stroke.first - run
    widest = 4 * math.asin(math.sqrt(min(MESH_CHORD_TOLERANCE / (max(rx, ry) + abs(by)), 1.0) / 2))
    count = max(2, math.ceil(abs(last - first) / widest))
    points = []
    for k in range(count + 1):
        t = first + (last - first) * k / count
        c, s = math.cos(t), math.sin(t)
        nx, ny = c * ry * ux / rx + s * rx * vx / ry, c * ry * uy / rx + s * rx * vy / ry
        size = math.hypot(nx, ny)
        points.append(Point(cx + c * ux + s * vx + by * nx / size, cy + c * uy + s * vy + by * ny / size))
    return _through(points)


def _through(points: Sequence[Point]) -> Path:
    return tuple(Line(a, b) for a, b in zip(points, points[1:], strict=False))


def outline_of(edge: Path, kind: str) -> tuple[Path, tuple[Path, ...]]:
    """What is cut out along an edge: an outline, and the openings in it."""
    if isinstance(ring := edge[0], Circle):
        if kind == OUTSIDE:
            return edge, ()
        side = float(ring.radius) + GUIDE_BODY
        corners = [Point(x * side, y * side) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        return _through((*corners, corners[0])), (edge,)
    start, end = edge[0].start, edge[-1].end
    boxes = [tuple(map(float, stroke.bounds())) for stroke in edge]
    left, low, right, high = (pick(b[k] for b in boxes) for k, pick in enumerate((min, min, max, max)))
    around: tuple[Point, ...]
    if kind == OUTSIDE:
        around = (end, Point(end[0], low - GUIDE_BODY), Point(start[0], low - GUIDE_BODY), start)
    else:
        around = (end, Point(left - GUIDE_BODY, end[1]), Point(left - GUIDE_BODY, high + GUIDE_BODY),
                  Point(right + GUIDE_BODY, high + GUIDE_BODY),
                  Point(right + GUIDE_BODY, start[1]), start)
    return (*edge, *_through(around)), ()


def ticks_of(stroke: Stroke, kind: str) -> tuple[Line, ...]:
    """From the two ends and the middle of the line into the guide, and the axis; of a circle both axes."""
    into = 1 if kind == INSIDE else -1
    if isinstance(stroke, Circle):
        radius = float(stroke.radius)
        far = radius + TICK_LENGTH if kind == INSIDE else 0.0
        return tuple(Line(Point(x * radius, y * radius), Point(x * far, y * far))
                     for x, y in ((1, 0), (0, 1), (-1, 0), (0, -1)))
    ticks = []
    for share, size in ((0, TICK_LENGTH), (1, TICK_LENGTH), (0.5, GUIDE_BODY / 2)):
        x, y = map(float, stroke.at(share))
        along = stroke.tangent(share)       # the guide lies to its right when the edge is run around
        ticks.append(Line(Point(x, y), Point(x - into * along.y * size, y + into * along.x * size)))
    return tuple(ticks)


def axes_of(stroke: Stroke, edge: Path, kind: str) -> tuple[Line, ...]:
    """A small cross that shows how the axes of an oval lie; nothing for a circle."""
    if not isinstance(stroke, EllipseArc):
        return ()
    boxes = [tuple(map(float, line.bounds())) for line in edge]
    y = max(b[3] for b in boxes) + GUIDE_BODY - AXIS_CROSS_SIZE if kind == INSIDE else min(
        b[1] for b in boxes) - GUIDE_BODY + AXIS_CROSS_SIZE
    x = float(stroke.at(0.5)[0])
    _, _, ux, uy, vx, vy = stroke.frame
    arms = ((ux, uy, AXIS_CROSS_SIZE - 0.5), (vx, vy, (AXIS_CROSS_SIZE - 0.5) / 2))
    return tuple(Line(Point(x - dx * size / r, y - dy * size / r),
                      Point(x + dx * size / r, y + dy * size / r))
                 for dx, dy, size in arms for r in (math.hypot(dx, dy),))


HOLE_CROSS_SIZE = 14.0        # mm: half of the square that is cut out round a hole's cross
END_RING_RADIUS = 0.9          # mm: radius of the ring round an end point
GUIDE_LETTER_SIZE = 3.3          # mm: height of the words below a guide
LENGTH_DENOMINATOR = 3200  # of a mm: sixty-fourths of an inch are 127/320 mm
GUIDE_LEADING = 1.4       # em


@dataclass(frozen=True, slots=True)
class StylusTip:
    """The ``radius`` of the stylus' tip, and the ``edge`` that it follows: "outside" or "inside"."""

    radius: Quantity
    edge: str


@dataclass(frozen=True, slots=True)
class Guide:
    """One guide: what is printed at true size, its ``name``, and what is said ``below`` it."""

    plate: TrueSizePiece
    name: str
    below: tuple[str, ...]


def guides_of(curves: Sequence[GuideCurve], tip: StylusTip, system: str,
              locale: Locale = ENGLISH) -> Iterator[Guide]:
    """A guide for each curve that is wide enough for the tip, and one for each size of hole."""
    for curve in curves:
        try:
            edge = None if curve.punched else edge_of(curve.stroke, curve.allowance(float(tip.radius)),
                                                      tip.edge)
        except ValueError:      # no tip comes into such a corner: it is pricked
            continue
        piece = _hole_guide(curve) if edge is None else _guide(curve, edge, tip.edge)
        name = locale.say("templates.guide.name", name=capital(curve.names_text(locale)),
                          verb=locale.say(f"templates.guide.{curve.verb}"),
                          size=_curve_size(curve, system, locale))
        piece = replace(piece, name=locale.say("templates.guide.for", name=curve.names_text(locale)))
        yield Guide(_guide_drawing(piece, curve), name, tuple(_guide_notes(curve, tip, system, locale)))


def _guide_piece(outline: Path, holes: tuple[Path, ...], ticks: tuple[Line, ...],
                 punched: tuple[Stroke, ...] = ()) -> ProcessedPiece:
    nothing = length(0)
    work = MappingProxyType({TICKS: ticks, PUNCHED: punched})
    return ProcessedPiece("guide", outline, holes, work, (), (), nothing, nothing)


def _guide(curve: GuideCurve, edge: Path, kind: str) -> ProcessedPiece:
    outline, holes = outline_of(edge, kind)
    return _guide_piece(outline, holes, (*ticks_of(curve.stroke, kind), *axes_of(curve.stroke, edge, kind)))


def _hole_guide(curve: GuideCurve) -> ProcessedPiece:
    """A square with the hole at true size, and a cross through its middle."""
    c = [Point(x * HOLE_CROSS_SIZE, y * HOLE_CROSS_SIZE) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    outline = tuple(Line(a, b) for a, b in zip(c, (*c[1:], c[0]), strict=True))
    arms = (Line(Point(-HOLE_CROSS_SIZE + 2, 0.0), Point(HOLE_CROSS_SIZE - 2, 0.0)),
            Line(Point(0.0, -HOLE_CROSS_SIZE + 2), Point(0.0, HOLE_CROSS_SIZE - 2)))
    return _guide_piece(outline, (), arms, (curve.stroke,))


def _guide_drawing(piece: ProcessedPiece, curve: GuideCurve) -> TrueSizePiece:
    """The guide told to a pen, its lower left corner at (MARGIN, MARGIN)."""
    boxes = [tuple(map(float, stroke.bounds()))
             for stroke in (*piece.outline, *(s for hole in piece.holes for s in hole), *piece.of(TICKS))]
    view = View(dx=LINE_MARGIN + END_RING_RADIUS - min(b[0] for b in boxes),
                dy=LINE_MARGIN + END_RING_RADIUS - min(b[1] for b in boxes))
    shown, pen = moved_piece(piece, view), RecordingPen()
    pen.begin(TICKS)
    for tick in shown.of(TICKS):
        pen.stroke((tick,), Role.TICK, False)
    if not curve.punched and not isinstance(curve.stroke, Circle):
        for tick in shown.of(TICKS)[:3]:        # both ends and the middle
            pen.stroke((Circle(tick.start, END_RING_RADIUS),), Role.TICK, False)
    pen.end()
    if shown.punched:
        pen.begin(PUNCHED)
        for circle in shown.punched:
            pen.hole(circle, False)
        pen.end()
    pen.begin(INNER_EDGES)
    for path in (shown.outline, *shown.holes):
        pen.stroke(path, Role.EDGE, False)
    pen.end()
    wide, high = (max(b[k] for b in boxes) - min(b[k - 2] for b in boxes) + 2
                  * (LINE_MARGIN + END_RING_RADIUS) for k in (2, 3))
    return TrueSizePiece(pen.recording(wide, high), shown, ())


# -- words --------------------------------------------------------------------


def exact_size(size: float) -> Fraction | float:
    """What a length was before it was reckoned in floats, where a plain fraction of a mm fits."""
    near = Fraction(size).limit_denominator(LENGTH_DENOMINATOR)
    return near if abs(float(near) - size) < TOLERANCE else size


def size_in_edition(size: float, system: str, locale: Locale = ENGLISH) -> str:
    """A length in the words of an edition."""
    return as_text(display_measure(length(exact_size(size)), system), locale)


def _curve_size(curve: GuideCurve, system: str, locale: Locale) -> str:
    def say(kind: str, **sizes: float) -> str:
        return locale.say(f"templates.guide.{kind}",
                          **{name: size_in_edition(size, system, locale) for name, size in sizes.items()})

    if curve.punched and isinstance(curve.stroke, Circle):
        return locale.say("templates.guide.hole", count=curve.count,
                          across=size_in_edition(2 * float(curve.stroke.radius), system, locale))
    if isinstance(curve.stroke, Circle):
        return say("circle", across=2 * float(curve.stroke.radius))
    if isinstance(curve.stroke, EllipseArc):
        return say("oval", span=curve.chord, wide=2 * float(curve.stroke.rx), high=2 * float(curve.stroke.ry))
    return say("ends", span=curve.chord, bulge=curve.bulge)


def _guide_notes(curve: GuideCurve, tip: StylusTip, system: str, locale: Locale) -> Iterator[str]:
    if curve.punched:
        yield locale.say("templates.guide.lay_hole")
        return
    off = curve.allowance(float(tip.radius))
    radius = as_text(display_measure(tip.radius, system), locale)
    edge = locale.say(f"templates.guide.{tip.edge if curve.scored else 'blade'}", tip=radius)
    if not isinstance(curve.stroke, EllipseArc):
        line = (float(curve.stroke.radius) if isinstance(curve.stroke, Circle)
                else radius_through(curve.chord, curve.bulge))
        followed = line + (off if tip.edge == INSIDE else -off)
        edge += " " + locale.say("templates.guide.edge" if off else "templates.guide.radius",
                                 line=size_in_edition(line, system, locale),
                                 radius=size_in_edition(followed, system, locale))
    yield edge
    round_hole = isinstance(curve.stroke, Circle)
    yield locale.say("templates.guide.lay_circle" if round_hole else "templates.guide.lay")
    if isinstance(curve.stroke, EllipseArc):
        yield locale.say("templates.guide.axes")


def guide_text_lines(guide: Guide, most: float) -> tuple[tuple[str, bool], ...]:
    """All words of a guide in lines no wider than ``most`` mm: (line, whether it is its heading)."""
    return (*((line, True) for line in lettering.wrapped_lines(guide.name, GUIDE_LETTER_SIZE, most, True)),
            *((line, False) for text in guide.below
              for line in lettering.wrapped_lines(text, GUIDE_LETTER_SIZE, most)))
