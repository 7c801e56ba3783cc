"""What must close on one piece: the seams, glued faces and loops of a plan as conditions on its panels."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.findings import Span
from generator.folding.kinematics import (
    Condition,
    Linkage,
    PointsMeet,
    coplanar_conditions,
    loop_conditions,
    on_line_conditions,
)
from generator.folding.records import FlatMap, FreeEdge, Hinge, placed_points
from generator.geometry.arrays import FloatArray
from generator.geometry.plane import floats
from generator.geometry.strokes import ring_points
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import (
    CHORD_TOLERANCE,
    EQUAL_AREAS,
    EQUAL_LENGTHS,
    LENGTH_TOLERANCE,
    MAX_EDGE_DISTANCE,
    MIN_PARALLEL_COSINE,
)
from generator.paper.records import Act, Face, Glue, PieceState, Plan, Seam

UNLIMITED_DISTANCE = 1e3      # in a ring the edge is known, however far it is before the ring is closed


@dataclass(frozen=True, slots=True, eq=False)
class Closing:
    """One thing that must close. ``one`` and ``other`` are the panels, ``face`` the named face that is glued.

    ``kind`` is "seam", "glue", "edge" (a tab's hinge meets an edge of its
    target), "loop" or "gather"; ``index`` counts from 1 within the act.
    """

    kind: str
    act: int
    index: int
    span: Span
    one: int
    other: int
    conditions: tuple[Condition, ...]


@dataclass(frozen=True, slots=True, eq=False)
class GluedFace:
    """A face glued on another: the panels and what is known of the faces in the flat plan."""

    act: Act
    index: int
    face: Face
    panel: int
    target: Face
    target_panel: int
    over: bool
    paired: bool        # under or over a target, not on each other in an order


class PanelLocator:
    """Finds the panel that a named face lies in."""

    def __init__(self, flat: FlatMap) -> None:
        self.flat = flat
        self._known: dict[int, int] = {}

    def panel(self, face: Face) -> int:
        """The panel that holds the largest part of a face."""
        if face.id not in self._known:
            shape = face_polygon(face)
            laps = shapely.area(shapely.intersection([p.polygon for p in self.flat.panels], shape))
            self._known[face.id] = first_largest(laps, EQUAL_AREAS)
        return self._known[face.id]


def face_polygon(face: Face) -> BaseGeometry:
    """A named face as an area of the flat plan."""
    result = Polygon(ring_points(face.outline, CHORD_TOLERANCE))
    return result if result.is_valid else shapely.make_valid(result)


def glued_faces(plan: Plan, piece: int, locator: PanelLocator) -> tuple[GluedFace, ...]:
    """Every face of a piece that is glued to a face of the same piece, in the order of the acts."""
    result = []
    for act in plan.acts:
        if not isinstance(act.detail, Glue):
            continue
        for index, (face, target, paired) in enumerate(glued_pairs(act.detail), start=1):
            if face.piece == target.piece == piece:
                result.append(GluedFace(act, index, face, locator.panel(face), target, locator.panel(target),
                                      act.detail.over, paired))
    return tuple(result)


def glued_pairs(glue: Glue) -> Iterator[tuple[Face, Face, bool]]:
    """(face, what it is glued to, whether under or over a target) for each face of an act of gluing."""
    if glue.target:
        targets = glue.target if len(glue.target) > 1 else glue.target * len(glue.faces)
        yield from ((face, target, True) for face, target in zip(glue.faces, targets, strict=True))
        return
    ordered = [glue.faces[k - 1] for k in glue.order] or list(glue.faces)
    yield from ((face, ordered[0], False) for face in ordered[1:])


def closings(plan: Plan, state: PieceState, link: Linkage, glued: Sequence[GluedFace],
             locator: PanelLocator) -> list[Closing]:
    """Loops of folds, seams and glued faces of one piece, but for hinges that meet edges.

    Those are found by :func:`edge_closings`.
    """
    result = [Closing("loop", h.bend.act, h.id, h.bend.span, h.left, h.right, loop_conditions(h))
            for h in link.spare]
    result += _seams(plan, state, locator)
    for each in glued:
        if each.panel != each.target_panel:
            points = spread_corners(link.flat.panels[each.panel].polygon)
            result.append(Closing("glue", each.act.number, each.index, each.act.span, each.panel,
                                each.target_panel,
                                coplanar_conditions(each.panel, points, each.target_panel)))
    return [c for c in result if is_rigid_closing(link, c)]


def is_rigid_closing(link: Linkage, closing: Closing) -> bool:
    """Whether both panels stay flat and hang together, so that folding can judge them."""
    return all(link.placed[k] and not link.flat.panels[k].soft for k in (closing.one, closing.other))


def _seams(plan: Plan, state: PieceState, locator: PanelLocator) -> Iterator[Closing]:
    faces = {face.id: face for face in state.faces}
    for act in plan.acts:
        if not isinstance(act.detail, Seam):
            continue
        for index, ((a, i), (b, k)) in enumerate(act.detail.pairs, start=1):
            if a in faces and b in faces:
                one, other = faces[a].outline[i], faces[b].outline[k]
                panels = locator.panel(faces[a]), locator.panel(faces[b])
                meets = tuple(PointsMeet(panels[0], np.array(floats(p)), panels[1], np.array(floats(q)))
                              for p, q in ((one.start, other.end), (one.end, other.start)))
                yield Closing("seam", act.number, index, act.span, *panels, meets)


def spread_corners(polygon: Polygon) -> FloatArray:
    """Three corners of a panel that lie far apart, to hold it in a plane."""
    xy = np.asarray(polygon.exterior.coords)[:-1]
    first = xy[0]
    second = xy[first_largest(np.hypot(*(xy - first).T))]
    step = second - first
    aside = np.abs((xy - first) @ np.array((-step[1], step[0]))) / np.hypot(*step)
    return np.array((first, second, xy[first_largest(aside)]))


def edge_closings(link: Linkage, glued: Iterable[GluedFace], angles: FloatArray,
                  near: float = MAX_EDGE_DISTANCE) -> list[Closing]:
    """For each glued tab, the edge of its target that its hinge comes to lie on, the nearest at these angles.

    ``angles`` are signed; ``near`` is how far, in lengths of the hinge, the edge may be as yet.
    """
    frames = link.frames(angles)
    result = []
    for each in glued:
        if not each.paired or each.panel == each.target_panel:
            continue
        for hinge in link.flat.hinges_of(each.panel):
            if hinge.other(each.panel) == each.target_panel:
                continue
            edge = _edge_near(link, each, hinge, frames, near)
            if edge is not None:
                points = np.array((hinge.start, hinge.end))
                rows = on_line_conditions(each.panel, points, each.target_panel, edge.start, edge.end)
                result.append(Closing("edge", each.act.number, each.index, each.act.span, each.panel,
                                    each.target_panel, rows))
    return [c for c in result if is_rigid_closing(link, c)]


def _edge_near(link: Linkage, each: GluedFace, hinge: Hinge, frames: FloatArray,
               near: float) -> FreeEdge | None:
    places = placed_points(frames[each.panel], np.array((hinge.start, hinge.end)))
    best, least = None, near * hinge.length
    for edge in link.flat.edges:
        size = float(np.hypot(*(edge.end - edge.start)))
        if (edge.panel != each.target_panel
            or abs(size - hinge.length) > LENGTH_TOLERANCE * max(size, hinge.length)):
            continue
        ends = placed_points(frames[edge.panel], np.array((edge.start, edge.end)))
        if abs((ends[1] - ends[0]) @ (places[1] - places[0])) < MIN_PARALLEL_COSINE * size * hinge.length:
            continue
        far = min(np.linalg.norm(places - e, axis=1).max() for e in (ends, ends[::-1]))
        if far < (least if best is None else least - EQUAL_LENGTHS):
            best, least = edge, far
    return best
