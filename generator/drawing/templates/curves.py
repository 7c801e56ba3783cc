"""The curves of a plan that are traced with a guide: each shape once, whatever way it lies."""
from __future__ import annotations

import math
from collections.abc import Iterator

from generator.dataclass import dataclass
from generator.drawing.process_table import INNER_EDGES, PROCESS_BY_KEY
from generator.geometry import Arc, Circle, EllipseArc, Point, Stroke
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.locale import Locale
from generator.paper.records import Mark, PieceState, Plan

EDGE_PREFIX = "edge "      # before the name of a piece: the paper's own edge (no name has a space in it)
CURVE_DECIMALS = 3                            # decimals of mm to which two curves are the same


Curve = Arc | EllipseArc | Circle
CurveKey = tuple[str | float | bool, ...]      # what kind of curve it is, and its sizes in mm


@dataclass(frozen=True, slots=True)
class GuideCurve:
    """A curve as a guide sees it: ends at (0, 0) and (chord, 0), bulging upward; a circle about (0, 0).

    ``names`` are what the source calls them, ``count`` how often the plan has
    it, ``verb`` what is done along it. ``punched`` marks a hole that a tool makes.
    """

    stroke: Curve
    names: tuple[str, ...]
    count: int
    verb: str
    punched: bool = False

    @property
    def chord(self) -> float:
        """The straight distance between its ends, mm; 0 of a circle."""
        return math.dist(self.stroke.start, self.stroke.end)

    @property
    def bulge(self) -> float:
        """How far its middle rises over the chord, mm."""
        return float(self.stroke.at(0.5)[1])

    @property
    def scored(self) -> bool:
        """True where a stylus makes it: its tip runs beside the edge that it follows, a blade along it."""
        return PROCESS_BY_KEY[self.verb].creased

    def allowance(self, tip: float) -> float:
        """How far beside the line the edge lies that is followed: the radius of the tip, mm, or nothing."""
        return tip if self.scored else 0.0

    def names_text(self, locale: Locale) -> str:
        """Its names as words."""
        return locale.join([self._named(name, locale) for name in self.names])

    def _named(self, name: str, locale: Locale) -> str:
        if name.startswith(EDGE_PREFIX):
            return locale.say("templates.guide.edge_of", piece=locale.name(name.removeprefix(EDGE_PREFIX)))
        return locale.name(name)


def curves_of(plan: Plan) -> tuple[GuideCurve, ...]:
    """Every different curve, in the order in which it is made; then every size of hole that is punched."""
    found: dict[tuple[bool, str, CurveKey], list[tuple[Curve, str, str, bool]]] = {}
    for key, stroke, name, verb, punched in _all_curves(plan):
        found.setdefault((punched, verb, key), []).append((stroke, name, verb, punched))
    result = (GuideCurve(group[0][0], tuple(dict.fromkeys(name for _, name, _, _ in group)), len(group),
                       group[0][2], group[0][3])
            for group in found.values())
    return tuple(sorted(result, key=lambda curve: curve.punched))


def _all_curves(plan: Plan) -> Iterator[tuple[CurveKey, Curve, str, str, bool]]:
    for info in plan.pieces:
        state = plan.state(info.id)
        if state is None:
            continue
        drawn = [(s, mark) for mark in state.marks for s in mark.whole if _traced(mark, s)]
        for stroke, mark in drawn:
            name = (mark.name or info.name).rpartition(".")[2]
            yield *_levelled(stroke), name, mark.kind.process, mark.kind.is_hole
        known = [_middle(stroke) for stroke, _ in drawn]
        for stroke in _edge_curves(state):
            if all(math.dist(_middle(stroke), other) > PLACE_TOLERANCE for other in known):
                yield *_levelled(stroke), f"{EDGE_PREFIX}{info.name}", INNER_EDGES, False


def _traced(mark: Mark, stroke: Stroke) -> bool:
    if mark.kind.is_hole:
        return isinstance(stroke, Circle)
    return mark.kind.is_line and mark.tool == "template" and isinstance(stroke, Arc | EllipseArc | Circle)


def _edge_curves(state: PieceState) -> Iterator[Stroke]:
    """The curved parts of the paper's own edge and of what was cut out of it."""
    for path in (state.outline, *state.holes):
        yield from (rim.stroke for rim in path if isinstance(rim.stroke, Arc | EllipseArc | Circle))


def _middle(stroke: Stroke) -> tuple[float, float]:
    if isinstance(stroke, Circle):
        return float(stroke.center[0]), float(stroke.center[1])
    x, y = stroke.at(0.5)
    return float(x), float(y)


def _levelled(stroke: Stroke) -> tuple[CurveKey, Curve]:
    """What makes two curves the same, and the curve with its chord level."""
    if isinstance(stroke, Circle):
        radius = float(stroke.radius)
        return ("circle", round(radius, CURVE_DECIMALS)), Circle(Point(0.0, 0.0), radius)
    chord, end = math.dist(stroke.start, stroke.end), Point(math.dist(stroke.start, stroke.end), 0.0)
    if isinstance(stroke, Arc):
        bulge = abs(float(stroke.bulge))
        return ("arc", round(chord, CURVE_DECIMALS),
                round(bulge, CURVE_DECIMALS)), Arc(Point(0.0, 0.0), end, bulge)
    if isinstance(stroke, EllipseArc):
        return _level_oval(stroke, chord, end)
    raise ValueError("a straight line is no curve")


def _level_oval(stroke: EllipseArc, chord: float, end: Point) -> tuple[CurveKey, Curve]:
    """An arc of an oval; its mirror image counts as the same, since a guide can be turned over."""
    dx, dy = (float(b) - float(a) for a, b in zip(stroke.start, stroke.end, strict=True))
    turn = math.atan2(dy, dx)
    rx, ry, tilt = float(stroke.rx), float(stroke.ry), float(stroke.tilt) - turn
    tilt = tilt if stroke.left else -tilt           # mirrored about the chord where it bulged to the right
    if rx < ry:
        rx, ry, tilt = ry, rx, tilt + math.pi / 2
    tilt = (tilt + math.pi / 2) % math.pi - math.pi / 2
    tilt = abs(tilt) if abs(tilt) > 1e-9 else 0.0
    key = ("oval", round(rx, CURVE_DECIMALS), round(ry, CURVE_DECIMALS), round(chord, CURVE_DECIMALS),
           round(tilt, CURVE_DECIMALS + 2))
    return key, EllipseArc(Point(0.0, 0.0), end, rx, ry, True, tilt)
