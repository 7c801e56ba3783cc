"""On which side of which paper the glue is: one answer for pictures, templates and bench cards.

A folded face glued under another lies on that one's plain side, so that its own printed side gets the glue;
glued over another, its plain side. Where folds by 180° turn it back onto its own sheet, it is the other way
round. Flaps that are glued on each other in an order get it on the side that looks out of the box, all but
the last one. A flat piece is glued on the side that is down as it is laid; before a window the glue is on the
paper round the window. What is glued on each other is numbered by where it lies, and its order is a list.
"""
from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.geometry import Line, Point, Region, Stroke, Transform
from generator.geometry.tolerances import FOLD_AT_EDGE, MIN_PART_AREA, MIN_WINDOW_AREA
from generator.paper.area import region_of, valid_polygon
from generator.paper.orientation import side_up
from generator.paper.records import Act, Face, FoldDirection, Glue, Orientation, PieceInfo, PieceState, Plan
from generator.units import memoised

FULL_FOLD = 180.0           # degrees
OTHER_SIDE = {"plain": "printed", "printed": "plain"}


@dataclass(frozen=True, slots=True)
class GluedArea:
    """What gets glue on the ``side`` of a piece, "plain" or "printed", because ``face`` is glued.

    ``outline`` (mm, own frame of the piece) may reach beyond the paper. ``up`` says whether that side is up
    when act number ``act`` glues it; ``number`` says which flap it is of those of a floor, else 0.
    """

    act: int
    piece: int
    face: Face
    outline: tuple[Stroke, ...]
    side: str
    up: bool
    number: int = 0

    def on_paper(self, state: PieceState) -> Region:
        """Where it lies on paper of the piece in this state."""
        return on_paper(self.outline, state)


@dataclass(frozen=True, slots=True, eq=False)
class LaidPiece:
    """A flat piece that act number ``act`` glues to piece ``host``, as an area of the own frame of that.

    It lies on the side ``on`` of the host, and its own side ``out`` is seen.
    """

    act: int
    host: int
    area: BaseGeometry
    on: str
    out: str
    info: PieceInfo


def laid_pieces(plan: Plan) -> Iterator[LaidPiece]:
    """Every flat piece that is glued to another one: liners, mats, panes."""
    for act in plan.acts:
        if isinstance(act.detail, Glue) and act.detail.target:
            targets = act.detail.target * len(act.detail.faces)
            for face, target in zip(act.detail.faces, targets, strict=False):
                if face.piece != target.piece and not plan.final_state(face.piece).folds:
                    lying, host = _Lying.of(plan, face, act), _Lying.of(plan, target, act)
                    yield LaidPiece(act.number, target.piece, lying.laid_on(host),
                                    host.up if act.detail.over else OTHER_SIDE[host.up],
                                    lying.up if act.detail.over else OTHER_SIDE[lying.up],
                                    next(each for each in plan.pieces if each.id == face.piece))


def on_paper(outline: tuple[Stroke, ...], state: PieceState) -> Region:
    """The area of closed strokes without what lies beside the paper of a piece; whole where none does."""
    named, paper = valid_polygon(Region(outline)), valid_polygon(region_of(state))
    if named.difference(paper).area <= MIN_PART_AREA:
        return Region(outline)
    parts = [part for part in shapely.get_parts(named.intersection(paper))
             if isinstance(part, Polygon) and part.area > MIN_PART_AREA]
    if not parts:
        return Region(outline)
    largest = shapely.normalize(max(parts, key=lambda part: part.area))
    return Region(_lines(largest.exterior), tuple(map(_lines, largest.interiors)))


def _lines(ring: BaseGeometry) -> tuple[Line, ...]:
    """The edges of a ring; shapely's normal form turns the other way round than outlines do."""
    corners = [Point(x, y) for x, y in shapely.get_coordinates(ring)[-2::-1]]
    return tuple(Line(a, b) for a, b in pairwise((*corners, corners[0])))


@memoised(64)
def glued_areas(plan: Plan) -> tuple[GluedArea, ...]:
    """Everything that gets glue, in the order of the work."""
    return tuple(area for act in plan.acts if isinstance(act.detail, Glue)
                 for area in _glued_by(plan, act, act.detail))


def _glued_by(plan: Plan, act: Act, glue: Glue) -> Iterator[GluedArea]:
    if not glue.target:
        for place in glue.order[:-1]:
            lying = _Lying.of(plan, glue.faces[place - 1], act)
            yield lying.area(act, lying.face.outline, lying.side_outside(), face_numbers(glue)[place - 1])
    for number, face in enumerate(glue.faces if glue.target else ()):
        lying = _Lying.of(plan, face, act)
        target = _Lying.of(plan, glue.target[number if len(glue.target) > 1 else 0], act)
        if face.piece == target.face.piece or plan.final_state(face.piece).folds:
            plain = glue.over != lying.is_turned_back(target)
            yield lying.area(act, face.outline, "plain" if plain else "printed")
        elif frame := lying.round_window(target):
            yield target.area(act, frame, target.up if glue.over else OTHER_SIDE[target.up], face=face)
        else:
            yield lying.area(act, face.outline, OTHER_SIDE[lying.up] if glue.over else lying.up)


@dataclass(frozen=True, slots=True)
class _Lying:
    """A face on its piece as that lies when it is glued, with its side ``up``."""

    face: Face
    state: PieceState
    up: str

    @classmethod
    def of(cls, plan: Plan, face: Face, act: Act) -> _Lying:
        info = next(piece for piece in plan.pieces if piece.id == face.piece)
        state = [state for number, state in plan.states[face.piece] if number <= act.number][-1]
        return cls(face, state, side_up(info.up, state.orientation))

    def area(self, act: Act, outline: tuple[Stroke, ...], side: str, number: int = 0,
             face: Face | None = None) -> GluedArea:
        """So much of the piece as a glued area."""
        return GluedArea(act.number, self.face.piece, face or self.face, outline, side, side == self.up,
                         number)

    @property
    def polygon(self) -> BaseGeometry:
        """The face, own frame."""
        return valid_polygon(Region(self.face.outline))

    def side_outside(self) -> str:
        """The side on which the ridge of its hinge stands, the longest of the folds along its edge."""
        edge = self.polygon.boundary.buffer(FOLD_AT_EDGE)
        runs = [(edge.intersection(LineString(run.flattened())).length, fold.direction)
                for fold in self.state.folds for run in fold.runs]
        _, way = max(runs, key=lambda run: run[0], default=(0.0, FoldDirection.MOUNTAIN))
        return "printed" if way is FoldDirection.MOUNTAIN else "plain"

    def is_turned_back(self, target: _Lying) -> bool:
        """Whether an odd number of folds by 180° lies between the face and its target on one piece."""
        if self.face.piece != target.face.piece:
            return False
        way = LineString((self.polygon.centroid, target.polygon.centroid))
        crossed = [fold for fold in self.state.folds if fold.angle == FULL_FOLD
                   for run in fold.runs if way.intersects(LineString(run.flattened()))]
        return len(crossed) % 2 == 1

    def laid_on(self, target: _Lying) -> BaseGeometry:
        """Where the flat piece lies on its target, in the own frame of that: middle on middle."""
        turn = _as_seen(self.state.orientation).then(_as_seen(target.state.orientation).inverse())
        corners = [turn.apply(p) for stroke in self.face.outline for p in stroke.flattened()[:-1]]
        laid = shapely.normalize(Polygon([(float(p.x), float(p.y)) for p in corners]))
        (x, y), (to_x, to_y) = (shape.centroid.coords[0] for shape in (laid, target.polygon))
        return shapely.transform(laid, lambda xy: xy + (to_x - x, to_y - y))

    def round_window(self, target: _Lying) -> tuple[Stroke, ...]:
        """The outline of this flat piece on its target; () where no window is there."""
        laid = self.laid_on(target)
        holes = (valid_polygon(Region(tuple(rim.stroke for rim in hole))) for hole in target.state.holes)
        opened = sum(laid.intersection(hole).area for hole in holes)
        return _lines(laid) if opened > MIN_WINDOW_AREA else ()


def _as_seen(orientation: Orientation) -> Transform:
    """From the own frame of a piece to how it lies."""
    turn = Transform.quarter(-orientation.quarters)
    return turn.then(Transform.mirror_x()) if orientation.over else turn


def face_numbers(glue: Glue) -> tuple[int, ...]:
    """The number of each face, which says where it lies and never when its turn is.

    It is that in its own group; faces of several statements are counted from left to right.
    """
    own = tuple(face.index for face in glue.faces)
    if len({(face.name, face.act) for face in glue.faces}) == 1 and len(set(own)) == len(own):
        return own
    ranked = sorted(range(len(own)), key=lambda k: _place(glue.faces[k]))
    return tuple(ranked.index(k) + 1 for k in range(len(own)))


def order_text(glue: Glue) -> str:
    """Such as "1, 5, 2, 6": the numbers of the faces, the one that is glued first first.

    It is "" where they go to a target.
    """
    numbers = face_numbers(glue)
    return "" if glue.target else ", ".join(str(numbers[place - 1]) for place in glue.order)


def _place(face: Face) -> tuple[int, int, int]:
    """Its piece and the middle of its corners, in whole mm."""
    corners = [stroke.start for stroke in face.outline]
    return (face.piece, round(sum(float(p.x) for p in corners) / len(corners)),
            round(sum(float(p.y) for p in corners) / len(corners)))
