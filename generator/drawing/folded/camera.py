"""Solids of folded paper (facets, bent sheets, lines, ribbons) and the perspective camera that sees them.

All in mm, z upward, x to the right and y away from the reader, who stands in
front of it all. Where facets lie on each other ``lift`` says which is above:
it is measured along the normal of the facet's +z side, and moves nothing.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum
from functools import cached_property

import numpy as np

from generator.dataclass import dataclass
from generator.geometry.arrays import BoolArray, FloatArray, IntArray
from generator.geometry.ties import first_largest, snapped
from generator.geometry.tolerances import (
    EDGE_ON_COSINE,
    EVEN_VIEWS,
    MIDDLE_TOLERANCE,
    MIN_NORM,
    NEARNESS_GRID,
    PITCH_GRID,
    PLACE_TOLERANCE,
)
from generator.paper.records import PieceInfo


class LineKind(StrEnum):
    """What a line on the paper is."""

    FOLD = "fold"
    EDGE = "edge"               # of the paper: of the outline, of a cut or a hole
    MARK = "mark"               # a score that is not folded
    HOLE = "hole"               # the rim of a punched hole


@dataclass(frozen=True, slots=True, eq=False)
class Facet:
    """A flat part: ``corners`` (n × 3) run counter-clockwise as seen from its +z side.

    ``up`` is what its +z side is: "plain" or "printed", ``info`` the piece whose paper it is.
    """

    corners: FloatArray
    up: str
    holes: tuple[FloatArray, ...] = ()
    lift: float = 0.0
    info: PieceInfo | None = None

    @property
    def normal(self) -> FloatArray:
        """The unit vector of the +z side (Newell's formula)."""
        return newell_normal(self.corners)

    @property
    def area(self) -> float:
        """Within its outline, in mm²."""
        return _ring_area(self.corners)

    @property
    def points(self) -> FloatArray:
        """The corners, under the name that bent parts have for their vertices."""
        return self.corners


@dataclass(frozen=True, slots=True, eq=False)
class BentPart:
    """A smooth part: ``points`` (n × 3); ``triangles`` (m × 3) are counter-clockwise seen from +z."""

    points: FloatArray
    triangles: IntArray
    up: str
    lift: float = 0.0
    info: PieceInfo | None = None


@dataclass(frozen=True, slots=True, eq=False)
class SpaceLine:
    """A line in space through ``points`` (n × 3).

    ``parts`` are the numbers of the facets and bent parts that it bounds.
    """

    kind: LineKind
    points: FloatArray
    parts: tuple[int, ...]
    curved: bool = False


@dataclass(frozen=True, slots=True)
class Body:
    """A piece of paper, or ``count`` of them; ``place`` is "" for the first, then "beside" or "above" it."""

    name: str
    place: str = ""
    count: int = 1


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """Everything in one picture; ``ribbons`` are their centre lines (n × 3).

    ``notes`` are keys of further remarks: "upright" where a top is not gathered yet.
    """

    parts: tuple[Facet | BentPart, ...]
    lines: tuple[SpaceLine, ...] = ()
    ribbons: tuple[FloatArray, ...] = ()
    bodies: tuple[Body, ...] = ()
    notes: tuple[str, ...] = ()

    def points(self) -> FloatArray:
        """Every corner, n × 3. Raises ValueError where there is none, or one is not a number."""
        found = [part.points for part in self.parts] + list(self.ribbons)
        if not found:
            raise ValueError("there is no paper to draw")
        points = np.concatenate(found)
        if not np.isfinite(points).all():
            raise ValueError("paper cannot be drawn at a place that is not a number")
        return points

    def flats(self) -> Iterator[Facet]:
        """The flat parts."""
        return (part for part in self.parts if isinstance(part, Facet))


def newell_normal(corners: FloatArray) -> FloatArray:
    """The unit normal of a flat polygon by the sum of its corners' cross products (M.

    Newell; from memory).
    """
    area_vector = _ring_area_vector(corners)
    size = np.linalg.norm(area_vector)
    return area_vector / size if size > 0 else np.array((0.0, 0.0, 1.0))


def _ring_area_vector(ring: FloatArray) -> FloatArray:
    """The normal of a flat ring (n × 3), as long as twice its area is large."""
    vector: FloatArray = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
    return vector


# distance of the eye, in greatest extents: near enough for depth, far enough to stay true
EYE_DISTANCE = 4.0
DEFAULT_YAWS = (25.0, -25.0)       # where there are no walls
MIN_PITCH, MAX_PITCH = 30.0, 42.0      # degrees above the table, for what is tall and for what lies flat
MAX_WALL_RISE = 0.35      # a facet whose normal rises less is a wall
# of the way to the next wall: so far the front is turned, so that no two walls look alike
FRONT_TURN = 1 / 3
WINDOW_WEIGHT = 1.0        # so many times the area of a window counts beside that of its wall


@dataclass(frozen=True, eq=False)
class Camera:
    """A view of ``middle`` from ``distance`` mm away.

    The eye stands ``yaw`` degrees to the right of the front and ``pitch``
    degrees above the table. Lengths at the middle are ``scale`` times as long in the picture: what is
    nearer is larger. The picture's x runs to the right and its y upward, both from the middle.
    """

    middle: FloatArray
    distance: float
    yaw: float
    pitch: float
    scale: float = 1.0

    @cached_property
    def axes(self) -> FloatArray:
        """Rows: to the right, upward in the picture, and from the middle towards the eye."""
        yaw, pitch = math.radians(self.yaw), math.radians(self.pitch)
        right = np.array((math.cos(yaw), math.sin(yaw), 0.0))
        to_eye = np.array((math.sin(yaw) * math.cos(pitch), -math.cos(yaw) * math.cos(pitch),
                           math.sin(pitch)))
        return np.array((right, np.cross(to_eye, right), to_eye))

    @property
    def eye(self) -> FloatArray:
        """Where the eye is."""
        eye: FloatArray = self.middle + self.distance * self.axes[2]
        return eye

    def project(self, points: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Points of space (n × 3) in the picture (n × 2), and their nearness (n).

        Nearness is one over the depth, in units of the distance: it is 1 at the middle and grows towards the
        eye. Along a straight line of the picture the nearness of a plane changes evenly.
        """
        local = (points - self.middle) @ self.axes.T
        near = self.distance / (self.distance - local[:, 2])
        return snapped(local[:, :2] * (near * self.scale)[:, None]), snapped(near, NEARNESS_GRID)

    def plane(self, point: FloatArray, normal: FloatArray) -> FloatArray:
        """(a, b, c) of a plane: its nearness is a·x + b·y + c at (x, y) of the picture."""
        n = self.axes @ normal
        to_plane = normal @ (point - self.eye)      # from the eye, along the normal
        # at depth t a point lies (x·t/D, y·t/D, −t) from the eye, and in the plane where n times that is
        # to_plane
        tilt = np.array((n[0] / self.scale, n[1] / self.scale, -n[2] * self.distance))
        return snapped(tilt / to_plane, NEARNESS_GRID)

    def facing(self, point: FloatArray, normal: FloatArray) -> float:
        """The cosine between a normal and the line of sight: above 0 where that side is seen."""
        to_eye = self.eye - point
        return float(normal @ to_eye / np.linalg.norm(to_eye))


@dataclass(frozen=True, slots=True, eq=False)
class _FlatParts:
    """The flat parts of a solid, one a row; ``glued`` is True where one lies on another.

    The area of windows, which tell most about a box, counts again.
    """

    centroids: FloatArray
    normals: FloatArray
    areas: FloatArray
    glued: BoolArray
    centre: FloatArray          # of the whole solid

    @classmethod
    def of(cls, solid: Solid) -> _FlatParts:
        """The table of the flat parts of a solid."""
        flats = list(solid.flats())
        vectors = np.array([_ring_area_vector(f.corners) for f in flats]).reshape(-1, 3)
        sizes = np.linalg.norm(vectors, axis=1)
        opened = WINDOW_WEIGHT * 2 * np.array([sum(_ring_area(hole) for hole in f.holes) for f in flats])
        return cls(np.array([f.corners.mean(axis=0) for f in flats]).reshape(-1, 3),
                   vectors / np.maximum(sizes, MIN_NORM)[:, None], (sizes + opened) / 2,
                   np.array([f.lift != 0.0 for f in flats], bool), box_centre(solid.points()))

    def walls(self) -> _FlatParts:
        """Those that stand upright, their normals turned away from the centre of the solid.

        One that stands in the centre shows as much to either side, and is there twice.
        """
        away = ((self.centroids - self.centre) * self.normals).sum(axis=1)
        upright = (np.abs(self.normals[:, 2]) < MAX_WALL_RISE) & (self.areas > 0)
        middle = upright & (np.abs(away) <= MIDDLE_TOLERANCE)
        rows = np.concatenate([np.flatnonzero(upright), np.flatnonzero(middle)])
        signs = np.where(away < -MIDDLE_TOLERANCE, -1.0, 1.0)[rows]
        signs[upright.sum():] = -1.0
        normals = self.normals[rows] * signs[:, None]
        return _FlatParts(self.centroids[rows], normals, self.areas[rows], self.glued[rows], self.centre)

    def facing(self, camera: Camera) -> FloatArray:
        """The cosines between the normals and the lines of sight of a camera that looks at the centre."""
        to_eye = camera.distance * camera.axes[2] + self.centre - self.centroids
        cosines: FloatArray = (self.normals * to_eye).sum(axis=1) / np.linalg.norm(to_eye, axis=1)
        return cosines


def choose_camera(solid: Solid, others: Sequence[Solid] = (), yaw: float | None = None) -> Camera:
    """The camera for ``solid``; from the same distance and at the same yaw ``others`` are seen well too.

    ``yaw`` is chosen so that most is shown, unless it is given.
    """
    points = solid.points()
    size = max(float(np.ptp(each.points(), axis=0).max()) for each in (solid, *others))
    width = max(float(np.ptp(points[:, :2], axis=0).max()), PLACE_TOLERANCE)
    height_ratio = min(float(np.ptp(points[:, 2])) / width, 1.0)
    pitch = float(snapped(MIN_PITCH + (MAX_PITCH - MIN_PITCH) * (1 - height_ratio), PITCH_GRID))
    distance = max(EYE_DISTANCE * size, 1e-3)
    if yaw is not None:
        return Camera(box_centre(points), distance, yaw, pitch)
    flats = [_FlatParts.of(each) for each in (solid, *others)]
    walls = flats[0].walls()
    # of views that show as much the one that is turned least from how the piece was drawn, then to the right
    yaws = sorted(_candidate_yaws(walls.normals), key=lambda angle: (round(abs(angle), 6), -angle))
    cameras = [Camera(box_centre(points), distance, angle, pitch) for angle in yaws]
    shown = [_shown_wall_area(walls, camera) - sum(_sliver_area(each, camera) for each in flats)
             for camera in cameras]
    return cameras[first_largest(shown, EVEN_VIEWS)]


def _ring_area(ring: FloatArray) -> float:
    """The area within a flat ring."""
    return float(np.linalg.norm(_ring_area_vector(ring))) / 2


def box_centre(points: FloatArray) -> FloatArray:
    """The centre of the bounding box of points (n × k)."""
    centre: FloatArray = (points.min(axis=0) + points.max(axis=0)) / 2
    return centre


def _candidate_yaws(normals: FloatArray) -> Iterator[float]:
    """Yaws at which one wall fronts the reader, a little turned."""
    walls = sorted({round(float(snapped(math.degrees(math.atan2(n[0], -n[1])))), 1) % 360 for n in normals})
    if len(walls) < 3:
        yield from DEFAULT_YAWS
        return
    for here, after in zip(walls, [*walls[1:], walls[0] + 360], strict=True):
        step = min(after - here, 90.0) * FRONT_TURN
        yield (here + step + 180) % 360 - 180
        yield (after - step + 180) % 360 - 180


def _shown_wall_area(walls: _FlatParts, camera: Camera) -> float:
    """How much a view shows: walls that front the reader, large ones more, and seams behind."""
    area = float((np.where(walls.glued, -0.3, 1.0) * walls.areas
                  * np.maximum(walls.facing(camera), 0.0)).sum())
    return area - abs(camera.yaw) * 1e-4 * max(area, 1.0)


def _sliver_area(flats: _FlatParts, camera: Camera) -> float:
    """The area of what is seen so nearly edge-on that nobody can tell what it is."""
    return float(flats.areas[np.abs(flats.facing(camera)) < EDGE_ON_COSINE].sum()) / 4
