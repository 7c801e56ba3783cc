"""Paper in space, ready to be drawn: flat facets, bent sheets, the lines on them, ribbons.

All in mm, z upward, x to the right and y away from the reader, who stands in
front of it all. Where facets lie on each other ``lift`` says which is above:
it is told along the normal of the facet's +z side, and moves nothing.

From space to the picture: a perspective view, and the choice of where to stand.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np

from generator.geometry.ties import first_largest, snapped


class LineKind(StrEnum):
    """What a line on the paper is."""

    FOLD = "fold"
    EDGE = "edge"               # of the paper: of the outline, of a cut or a hole
    MARK = "mark"               # a score that is not folded
    HOLE = "hole"               # the rim of a punched hole


@dataclass(frozen=True, slots=True, eq=False)
class Facet:
    """A flat part: ``corners`` (n × 3) turn counter-clockwise for who looks at its +z side, which is ``up``: "plain" or "printed"."""

    corners: np.ndarray
    up: str
    holes: tuple[np.ndarray, ...] = ()
    lift: float = 0.0

    @property
    def normal(self) -> np.ndarray:
        """The unit vector of the +z side (Newell's formula)."""
        return newell_normal(self.corners)

    @property
    def points(self) -> np.ndarray:
        return self.corners


@dataclass(frozen=True, slots=True, eq=False)
class BentPart:
    """A smooth part: ``points`` (n × 3) and ``triangles`` (m × 3), counter-clockwise for who looks at the +z side."""

    points: np.ndarray
    triangles: np.ndarray
    up: str
    lift: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class SpaceLine:
    """A line in space through ``points`` (n × 3); ``parts`` are the numbers of the facets and bent parts that it bounds."""

    kind: LineKind
    points: np.ndarray
    parts: tuple[int, ...]
    curved: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class RibbonPath:
    """Where a ribbon runs, ``wide`` mm wide."""

    points: np.ndarray
    wide: float = 4.0


@dataclass(frozen=True, slots=True)
class Body:
    """One piece of paper and where it stands: ``place`` is "" for the first, then "beside" it or "above" it."""

    name: str
    place: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """Everything in one picture. ``notes`` say what else there is to tell: "upright" where a top is not gathered yet."""

    parts: tuple[Facet | BentPart, ...]
    courses: tuple[SpaceLine, ...] = ()
    ribbons: tuple[RibbonPath, ...] = ()
    bodies: tuple[Body, ...] = ()
    notes: tuple[str, ...] = ()

    def points(self) -> np.ndarray:
        """Every corner, n × 3. Raises ValueError where there is none, or one is not a number."""
        found = [part.points for part in self.parts] + [ribbon.points for ribbon in self.ribbons]
        if not found:
            raise ValueError("there is no paper to draw")
        made = np.concatenate(found)
        if not np.isfinite(made).all():
            raise ValueError("paper cannot be drawn at a place that is not a number")
        return made

    def flats(self) -> Iterator[Facet]:
        """The flat parts."""
        return (part for part in self.parts if isinstance(part, Facet))


def newell_normal(corners: np.ndarray) -> np.ndarray:
    """The unit normal of a flat polygon by the sum of its corners' cross products (M. Newell; from memory)."""
    turned = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
    size = np.linalg.norm(turned)
    return turned / size if size > 0 else np.array((0.0, 0.0, 1.0))


EYE_DISTANCE = 4.0           # distance of the eye, in greatest extents: near enough for depth, far enough to stay true
DEFAULT_YAWS = (25.0, -25.0)       # where there are no walls
MIN_PITCH, MAX_PITCH = 30.0, 42.0      # degrees above the table, for what is tall and for what lies flat
MAX_WALL_RISE = 0.35      # a facet whose normal rises less is a wall
FRONT_TURN = 1 / 3      # of the way to the next wall: so far the front is turned, so that no two walls look alike
WINDOW_WEIGHT = 1.0        # so many times the area of a window counts beside that of its wall
# mm²; views that tell as much but for less than this are equal, and the first in order is taken
EVEN_VIEWS = 0.1
PITCH_GRID = 2.0 ** -10     # degrees between two pitches
MIDDLE_TOLERANCE = 1e-3     # mm; a wall this close to the middle of everything has no inner side
NEARNESS_GRID = 2.0 ** -40  # of nearness and of the plane it changes in: far below a depth that is told apart
EDGE_ON_COSINE = 0.12      # a facet seen flatter than this is a sliver


@dataclass(frozen=True, eq=False)
class Camera:
    """A view of ``middle`` from ``distance`` mm away, ``yaw`` degrees to the right of the front and ``pitch`` above the table.

    Lengths at the middle are ``scale`` times as long in the picture: what is
    nearer is larger. The picture's x runs to the right and its y upward, both from the middle.
    """

    middle: np.ndarray
    distance: float
    yaw: float
    pitch: float
    scale: float = 1.0

    @cached_property
    def axes(self) -> np.ndarray:
        """Rows: to the right, upward in the picture, and from the middle towards the eye."""
        yaw, pitch = math.radians(self.yaw), math.radians(self.pitch)
        right = np.array((math.cos(yaw), math.sin(yaw), 0.0))
        to_eye = np.array((math.sin(yaw) * math.cos(pitch), -math.cos(yaw) * math.cos(pitch), math.sin(pitch)))
        return np.array((right, np.cross(to_eye, right), to_eye))

    @property
    def eye(self) -> np.ndarray:
        """Where the eye is."""
        return self.middle + self.distance * self.axes[2]

    def project(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Points of space in the picture (n × 2), and how near they are (n): one over the depth, in units of the distance.

        Nearness is 1 at the middle and grows towards the eye. Along a straight
        line of the picture the nearness of a plane changes evenly.
        """
        seen = (points - self.middle) @ self.axes.T
        near = self.distance / (self.distance - seen[:, 2])
        return snapped(seen[:, :2] * (near * self.scale)[:, None]), snapped(near, NEARNESS_GRID)

    def plane(self, point: np.ndarray, normal: np.ndarray) -> np.ndarray:
        """(a, b, c) of a plane: its nearness is a·x + b·y + c at (x, y) of the picture."""
        n = self.axes @ normal
        to_plane = normal @ (point - self.eye)      # from the eye, along the normal
        # at depth t a point lies (x·t/D, y·t/D, −t) from the eye, and in the plane where n times that is to_plane
        tilt = np.array((n[0] / self.scale, n[1] / self.scale, -n[2] * self.distance))
        return snapped(tilt / to_plane, NEARNESS_GRID)

    def facing(self, point: np.ndarray, normal: np.ndarray) -> float:
        """The cosine between a normal and the way to the eye: above 0 where that side is seen."""
        way = self.eye - point
        return float(normal @ way / np.linalg.norm(way))


@dataclass(frozen=True, slots=True, eq=False)
class _FlatParts:
    """The flat parts of a solid, one a row: middles, normals, areas; ``glued`` is True where one lies on another.

    Of windows, which tell most about a box, the area counts again.
    """

    middles: np.ndarray
    normals: np.ndarray
    areas: np.ndarray
    glued: np.ndarray
    centre: np.ndarray

    @classmethod
    def of(cls, solid: Solid) -> "_FlatParts":
        flats = list(solid.flats())
        turned = np.array([np.cross(f.corners, np.roll(f.corners, -1, axis=0)).sum(axis=0) for f in flats]).reshape(-1, 3)
        sizes = np.linalg.norm(turned, axis=1)
        opened = WINDOW_WEIGHT * 2 * np.array([sum(_ring_area(hole) for hole in f.holes) for f in flats])
        return cls(np.array([f.corners.mean(axis=0) for f in flats]).reshape(-1, 3), turned / np.maximum(sizes, 1e-12)[:, None],
                   (sizes + opened) / 2, np.array([f.lift != 0.0 for f in flats], bool), box_centre(solid.points()))

    def walls(self) -> "_FlatParts":
        """Those that stand upright, their normals turned away from the middle of everything.

        One that stands in the middle shows as much to either side, and is there twice.
        """
        away = ((self.middles - self.centre) * self.normals).sum(axis=1)
        upright = (np.abs(self.normals[:, 2]) < MAX_WALL_RISE) & (self.areas > 0)
        middle = upright & (np.abs(away) <= MIDDLE_TOLERANCE)
        rows = np.concatenate([np.flatnonzero(upright), np.flatnonzero(middle)])
        ways = np.where(away < -MIDDLE_TOLERANCE, -1.0, 1.0)[rows]
        ways[upright.sum():] = -1.0
        normals = self.normals[rows] * ways[:, None]
        return _FlatParts(self.middles[rows], normals, self.areas[rows], self.glued[rows], self.centre)

    def seen(self, camera: Camera) -> np.ndarray:
        """The cosines between the normals and the way to the eye of a camera that looks at the middle."""
        ways = camera.distance * camera.axes[2] + self.centre - self.middles
        return (self.normals * ways).sum(axis=1) / np.linalg.norm(ways, axis=1)


def choose_camera(solid: Solid, others: Sequence[Solid] = (), yaw: float | None = None) -> Camera:
    """Where to stand for ``solid``; from the same distance and with the same turn ``others`` are seen well too.

    ``yaw`` is chosen so that most is told, unless it is given.
    """
    points = solid.points()
    size = max(float(np.ptp(each.points(), axis=0).max()) for each in (solid, *others))
    wide = max(float(np.ptp(points[:, :2], axis=0).max()), 1e-6)
    tall = min(float(np.ptp(points[:, 2])) / wide, 1.0)
    pitch = float(snapped(MIN_PITCH + (MAX_PITCH - MIN_PITCH) * (1 - tall), PITCH_GRID))
    distance = max(EYE_DISTANCE * size, 1e-3)
    if yaw is not None:
        return Camera(box_centre(points), distance, yaw, pitch)
    flats = [_FlatParts.of(each) for each in (solid, *others)]
    walls = flats[0].walls()
    # of views that tell as much the one that is turned least from how the piece was drawn, then to the right
    turns = sorted(_candidate_yaws(walls.normals), key=lambda turn: (round(abs(turn), 6), -turn))
    cameras = [Camera(box_centre(points), distance, turn, pitch) for turn in turns]
    told = [_shown_wall_area(walls, camera) - sum(_sliver_area(each, camera) for each in flats)
            for camera in cameras]
    return cameras[first_largest(told, EVEN_VIEWS)]


def _ring_area(ring: np.ndarray) -> float:
    """The area within a flat ring."""
    return float(np.linalg.norm(np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0))) / 2


def box_centre(points: np.ndarray) -> np.ndarray:
    """The middle of the box round points."""
    return (points.min(axis=0) + points.max(axis=0)) / 2


def _candidate_yaws(normals: np.ndarray) -> Iterator[float]:
    """Yaws at which one wall fronts the reader, a little turned."""
    walls = sorted({round(float(snapped(math.degrees(math.atan2(n[0], -n[1])))), 1) % 360 for n in normals})
    if len(walls) < 3:
        yield from DEFAULT_YAWS
        return
    for here, after in zip(walls, [*walls[1:], walls[0] + 360]):
        step = min(after - here, 90.0) * FRONT_TURN
        yield (here + step + 180) % 360 - 180
        yield (after - step + 180) % 360 - 180


def _shown_wall_area(walls: _FlatParts, camera: Camera) -> float:
    """How much a view shows: walls that front the reader, large ones more, and seams behind."""
    told = float((np.where(walls.glued, -0.3, 1.0) * walls.areas * np.maximum(walls.seen(camera), 0.0)).sum())
    return told - abs(camera.yaw) * 1e-4 * max(told, 1.0)


def _sliver_area(flats: _FlatParts, camera: Camera) -> float:
    """The area of what is seen so flat that nobody can tell what it is."""
    return float(flats.areas[np.abs(flats.seen(camera)) < EDGE_ON_COSINE].sum()) / 4
