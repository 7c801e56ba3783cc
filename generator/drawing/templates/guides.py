"""Guides to cut out: at true size, with alignment points, for who lacks the oval, the round die or the plate."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from generator.drawing.pen import Path, Role
from generator.drawing.recording import RecordingPen
from generator.drawing.templates import helvetica
from generator.drawing.templates.curves import Curve
from generator.drawing.templates.guide_shapes import INSIDE, axes_of, edge_of, is_whole, outline_of, ticks_of
from generator.drawing.templates.plan import MARGIN, Plate, piece_moved
from generator.drawing.templates.processes import Worked
from generator.drawing.view import View
from generator.geometry import Circle, EllipseArc, Line, Point
from generator.geometry.ovals import radius_through
from generator.tongue import ENGLISH, Tongue, capital
from generator.units import Quantity, as_text, length, word

CROSS = 14.0        # mm: half of the square that is cut out round a hole's cross
RING = 0.9          # mm: radius of the ring round an end point
SIZE = 3.3          # mm: height of the words below a guide
DENOMINATOR = 3200  # of a mm: sixty-fourths of an inch are 127/320 mm
LEADING = 1.4       # em


@dataclass(frozen=True, slots=True)
class Tip:
    """The ``radius`` of the stylus' tip, and the ``edge`` that it follows: "outside" or "inside"."""

    radius: Quantity
    edge: str


@dataclass(frozen=True, slots=True)
class Guide:
    """One guide: what is printed at true size, its ``name``, and what is said ``below`` it."""

    plate: Plate
    name: str
    below: tuple[str, ...]


def guides_of(curves: Sequence[Curve], tip: Tip, system: str, tongue: Tongue = ENGLISH) -> Iterator[Guide]:
    """A guide for each curve that is wide enough for the tip, and one for each size of hole."""
    for curve in curves:
        try:
            edge = None if curve.punched else edge_of(curve.stroke, float(tip.radius), tip.edge)
        except ValueError:      # no tip comes into such a corner: it is pricked
            continue
        piece = _hole(curve) if edge is None else _guide(curve, edge, tip.edge)
        name = tongue.say("templates.guide.name", name=capital(curve.told(tongue)), verb=tongue.say(f"templates.guide.{curve.verb}"),
                          size=_size(curve, system, tongue))
        piece = replace(piece, name=tongue.say("templates.guide.for", name=curve.told(tongue)))
        yield Guide(_plate(piece, curve), name, tuple(_below(curve, tip, system, tongue)))


def _worked(curve: Curve, outline: Path, holes: tuple[Path, ...], ticks: tuple[Line, ...],
            punches: tuple[Circle, ...] = ()) -> Worked:
    nothing = length(0)
    return Worked("guide", outline, holes, (), (), (), (), ticks, punches, (), (), nothing, nothing)


def _guide(curve: Curve, edge: Path, kind: str) -> Worked:
    outline, holes = outline_of(edge, kind)
    return _worked(curve, outline, holes, (*ticks_of(curve.stroke, kind), *axes_of(curve.stroke, edge, kind)))


def _hole(curve: Curve) -> Worked:
    """A square with the hole at true size, and a cross through its middle."""
    c = [Point(x * CROSS, y * CROSS) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    outline = tuple(Line(a, b) for a, b in zip(c, (*c[1:], c[0]), strict=True))
    arms = (Line(Point(-CROSS + 2, 0.0), Point(CROSS - 2, 0.0)), Line(Point(0.0, -CROSS + 2), Point(0.0, CROSS - 2)))
    return _worked(curve, outline, (), arms, (curve.stroke,))


def _plate(piece: Worked, curve: Curve) -> Plate:
    """The guide told to a pen, its lower left corner at (MARGIN, MARGIN)."""
    boxes = [tuple(map(float, stroke.bounds())) for stroke in (*piece.outline, *(s for hole in piece.holes for s in hole),
                                                               *piece.ticks)]
    view = View(dx=MARGIN + RING - min(b[0] for b in boxes), dy=MARGIN + RING - min(b[1] for b in boxes))
    shown, pen = piece_moved(piece, view), RecordingPen()
    pen.begin("tick")
    for tick in shown.ticks:
        pen.stroke((tick,), Role.TICK, False)
    if not curve.punched and not is_whole(curve.stroke):
        for tick in shown.ticks[:3]:        # both ends and the middle
            pen.stroke((Circle(tick.start, RING),), Role.TICK, False)
    pen.end()
    if shown.punches:
        pen.begin("punch")
        for circle in shown.punches:
            pen.hole(circle, False)
        pen.end()
    pen.begin("cut")
    for path in (shown.outline, *shown.holes):
        pen.stroke(path, Role.EDGE, False)
    pen.end()
    wide, high = (max(b[k] for b in boxes) - min(b[k - 2] for b in boxes) + 2 * (MARGIN + RING) for k in (2, 3))
    return Plate(pen.recording(wide, high), shown, ())


# -- words --------------------------------------------------------------------


def exact(size: float) -> Fraction | float:
    """What a length was before it was reckoned in floats, where a plain fraction of a mm fits."""
    near = Fraction(size).limit_denominator(DENOMINATOR)
    return near if abs(float(near) - size) < 1e-9 else size


def told(size: float, system: str, tongue: Tongue = ENGLISH) -> str:
    """A length in the words of an edition."""
    return as_text(word(length(exact(size)), system), tongue)


def _size(curve: Curve, system: str, tongue: Tongue) -> str:
    def say(kind: str, **sizes: float) -> str:
        return tongue.say(f"templates.guide.{kind}", **{name: told(size, system, tongue) for name, size in sizes.items()})

    if curve.punched:
        return tongue.say("templates.guide.hole", count=curve.count,
                          across=told(2 * float(curve.stroke.radius), system, tongue))
    if isinstance(curve.stroke, Circle):
        return say("circle", across=2 * float(curve.stroke.radius))
    if isinstance(curve.stroke, EllipseArc):
        return say("oval", span=curve.chord, wide=2 * float(curve.stroke.rx), high=2 * float(curve.stroke.ry))
    return say("ends", span=curve.chord, bulge=curve.bulge)


def _below(curve: Curve, tip: Tip, system: str, tongue: Tongue) -> Iterator[str]:
    if curve.punched:
        yield tongue.say("templates.guide.lay_hole")
        return
    off = float(tip.radius)
    edge = tongue.say(f"templates.guide.{tip.edge}", tip=as_text(word(tip.radius, system), tongue))
    if not isinstance(curve.stroke, EllipseArc):
        line = float(curve.stroke.radius) if is_whole(curve.stroke) else radius_through(curve.chord, curve.bulge)
        edge += " " + tongue.say("templates.guide.edge", line=told(line, system, tongue),
                                 radius=told(line + (off if tip.edge == INSIDE else -off), system, tongue))
    yield edge
    yield tongue.say("templates.guide.lay_circle" if is_whole(curve.stroke) else "templates.guide.lay")
    if isinstance(curve.stroke, EllipseArc):
        yield tongue.say("templates.guide.axes")


def lines_of(guide: Guide, most: float) -> tuple[tuple[str, bool], ...]:
    """All words of a guide in lines no wider than ``most`` mm: (line, whether it is its heading)."""
    return (*((line, True) for line in helvetica.wrapped(guide.name, SIZE, most, True)),
            *((line, False) for text in guide.below for line in helvetica.wrapped(text, SIZE, most)))

