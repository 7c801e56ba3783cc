"""What a picture of folded paper shows, in words, from the same data.

The front end that draws folded paper: in perspective, shaded, without what is hidden.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from generator.drawing.folded.camera import Camera, Solid, box_centre, choose_camera
from generator.drawing.folded.contours import ContourLine, contours
from generator.drawing.folded.hidden_lines import (
    PICTURE_GRID,
    polygonal_part,
    visible_areas,
    visible_stretches,
)
from generator.drawing.folded.projection import ProjectedArea, projected_areas
from generator.drawing.pen import Contour, FoldedFace, Path, Surface
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.steps.step_picture import StepPicture
from generator.geometry import Arc, Point
from generator.geometry import Line as Straight
from generator.locale import ENGLISH, Locale, capital

STEEP_PITCH = 35.0        # degrees above the table
MIN_NAMED_AREA = 1.0          # mm² of the picture; less of a side is not worth a word


def fold_title(solid: Solid, locale: Locale = ENGLISH) -> str:
    """"Base and lid, folded"."""
    names = [locale.name(body.name) for body in solid.bodies] or [locale.say("drawing.shape.nothing")]
    return capital(locale.say("drawing.shape.title", names=locale.join(names)))


def fold_description(solid: Solid, camera: Camera, sights: Sequence[ProjectedArea], areas: Sequence[shapely.Geometry],
              locale: Locale = ENGLISH) -> str:
    """Sentences: what stands where, which side of the paper is seen, from where, and what else there is to know."""
    placed = [locale.say(f"drawing.shape.{body.place or 'stands'}", name=locale.name(body.name)) for body in solid.bodies]
    told = [locale.say("drawing.shape.told", names=locale.join(placed))] if placed else []
    seen = sorted({sight.side for sight, area in zip(sights, areas) if area.area > MIN_NAMED_AREA})
    if seen:
        told.append(locale.say(f"drawing.shape.outside_{seen[0]}" if len(seen) == 1 else "drawing.shape.sides"))
    side = "right" if camera.yaw >= 0 else "left"
    told.append(locale.say(f"drawing.shape.steep_{side}" if camera.pitch > STEEP_PITCH else f"drawing.shape.{side}"))
    if solid.ribbons:
        told.append(locale.say("drawing.shape.ribbon"))
    return " ".join([*told, *(locale.say(f"drawing.shape.note.{note}") for note in solid.notes)])


MAX_PICTURE_WIDTH, MAX_PICTURE_HEIGHT = 120.0, 96.0    # mm: what a picture may take at most; all of them are as wide
PICTURE_MARGIN = 4.0                  # mm round the paper
COORDINATE_DECIMALS = 2                  # decimals of a place in the picture, in mm
MAX_PICTURE_SCALE = 1.4               # times natural size at most
CHORD_TOLERANCE = 0.035            # mm, a seventh of a pixel on the page; a curve that leaves its chord by less is drawn straight
CORNER_ANGLE = math.radians(50)    # a curve turns by less at each of its points


@dataclass(frozen=True, slots=True, eq=False)
class SharedView:
    """From where and how large all folded pictures of one tutorial are drawn."""

    camera: Camera

    def of(self, solid: Solid) -> Camera:
        """The same view of another solid: turned to its own middle."""
        return replace(self.camera, middle=box_centre(solid.points()))


def shared_view(finished: Solid, others: Sequence[Solid] = (), yaw: float | None = None) -> SharedView:
    """One view for the finished box and the stages before it, so large that each of them fits; ``yaw`` where it is known."""
    camera = choose_camera(finished, others, yaw)
    boxes = []
    for solid in (finished, *others):
        xy, _ = replace(camera, middle=box_centre(solid.points())).project(solid.points())
        boxes.append(np.ptp(xy, axis=0))
    wide, high = np.max(boxes, axis=0)
    scale = min((MAX_PICTURE_WIDTH - 2 * PICTURE_MARGIN) / max(wide, 1e-6), (MAX_PICTURE_HEIGHT - 2 * PICTURE_MARGIN) / max(high, 1e-6), MAX_PICTURE_SCALE)
    return SharedView(replace(camera, scale=scale))


@dataclass(frozen=True, slots=True, eq=False)
class UndescribedPicture:
    """A picture of folded paper before anything is said of it: the same in every language."""

    solid: Solid
    camera: Camera
    sights: Sequence[ProjectedArea]
    areas: Sequence[shapely.Geometry]
    recording: Recording

    def told(self, key: str, locale: Locale = ENGLISH) -> StepPicture:
        """The picture with its words."""
        return StepPicture(self.solid.bodies[0].name if self.solid.bodies else "", fold_title(self.solid, locale),
                           fold_description(self.solid, self.camera, self.sights, self.areas, locale), self.recording, (), key, "shape")


def draw_solid(solid: Solid, stand: SharedView) -> UndescribedPicture:
    """A picture without words. Raises ValueError where a place is not a number."""
    camera = stand.of(solid)
    sights, silhouettes = projected_areas(solid, camera)
    areas = visible_areas(sights, camera.distance)
    lines = contours(solid, camera, sights, areas, silhouettes)
    ribbons = _visible_ribbons(solid, camera, sights)
    return UndescribedPicture(solid, camera, sights, areas, _recorded(sights, areas, lines, ribbons))


def fold_picture(solid: Solid, stand: SharedView, key: str, locale: Locale = ENGLISH) -> StepPicture:
    """A picture of folded paper. Raises ValueError where a place is not a number."""
    return draw_solid(solid, stand).told(key, locale)


def _recorded(sights: Sequence[ProjectedArea], areas: Sequence[shapely.Geometry], lines: Sequence[ContourLine],
           ribbons: Sequence[np.ndarray]) -> Recording:
    """The recording, as high as what it shows."""
    points = np.concatenate([shapely.get_coordinates(area) for area in areas] + [line.points for line in lines]
                            + list(ribbons) or [np.zeros((1, 2))])
    low, high = points.min(axis=0), points.max(axis=0)
    shift = np.array((MAX_PICTURE_WIDTH / 2 - (low[0] + high[0]) / 2, PICTURE_MARGIN - low[1]))
    pen = RecordingPen()
    pen.begin("faces")
    for sight, area in zip(sights, areas):
        _face(pen, sight, area, shift)
    pen.end()
    pen.begin("lines")
    for line in lines:
        pen.contour(_path(line.points + shift, line.curved), line.contour)
    for ribbon in ribbons:
        pen.contour(_path(ribbon + shift, True), Contour.RIBBON)
    pen.end()
    return pen.recording(MAX_PICTURE_WIDTH, round(float(high[1] - low[1]) + 2 * PICTURE_MARGIN, COORDINATE_DECIMALS))


def _face(pen: RecordingPen, sight: ProjectedArea, area: shapely.Geometry, shift: np.ndarray) -> None:
    """A face in its tone; a bent one in several, beside each other."""
    side = Surface.PRINTED if sight.side == "printed" else Surface.PLAIN
    for tone, (shape, darker) in enumerate(zip([area, *sight.bands], [*sight.bands, None]), start=sight.tone):
        shape = shape if shape is area else polygonal_part(area.intersection(shape, grid_size=PICTURE_GRID))
        loops = tuple(_loops(shape if darker is None else shape.difference(darker, grid_size=PICTURE_GRID), shift))
        if loops:
            pen.face(loops, FoldedFace(side, tone))


def _loops(shape: shapely.Geometry, shift: np.ndarray):
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and part.area > 0.02:
            for ring in (part.exterior, *part.interiors):
                xy = np.round(shapely.get_coordinates(shapely.simplify(ring, 0.025)) + shift, COORDINATE_DECIMALS)
                path = tuple(Straight(Point(*a), Point(*b)) for a, b in zip(xy.tolist(), xy[1:].tolist()) if a != b)
                if len(path) > 2:
                    yield path


def _path(points: np.ndarray, curved: bool) -> Path:
    """A path through points; between those of a curve run arcs that turn as the curve does there."""
    xy = np.round(points, COORDINATE_DECIMALS)
    xy = xy[np.append(True, np.any(np.diff(xy, axis=0), axis=1))]
    if len(xy) < 2:
        xy = np.array((xy[0], xy[0] + (0.01, 0.0)))
    turns = _turning_angles(xy) if curved and len(xy) > 2 else np.zeros(len(xy))
    made = []
    for k, (a, b) in enumerate(zip(xy.tolist(), xy[1:].tolist())):
        bulge = math.dist(a, b) / 2 * math.tan((turns[k] + turns[k + 1]) / 2 / 4)
        made.append(Arc(Point(*a), Point(*b), -round(bulge, 4)) if abs(bulge) > CHORD_TOLERANCE else Straight(Point(*a), Point(*b)))
    return tuple(made)


def _turning_angles(xy: np.ndarray) -> np.ndarray:
    """By how much a line turns at each of its points, + to the left; at the ends as much as beside them, at corners not at all."""
    steps = np.diff(xy, axis=0)
    ways = np.arctan2(steps[:, 1], steps[:, 0])
    turns = (np.diff(ways) + np.pi) % (2 * np.pi) - np.pi
    turns = np.where(np.abs(turns) > CORNER_ANGLE, 0.0, turns)
    if np.allclose(xy[0], xy[-1]):
        last = (ways[0] - ways[-1] + np.pi) % (2 * np.pi) - np.pi
        last = 0.0 if abs(last) > CORNER_ANGLE else last
        return np.concatenate([[last], turns, [last]])
    return np.concatenate([turns[:1], turns, turns[-1:]])


def _visible_ribbons(solid: Solid, camera: Camera, sights: Sequence[ProjectedArea]) -> list[np.ndarray]:
    """The stretches of ribbons that are seen, joined where they go on."""
    made = []
    for ribbon in solid.ribbons:
        xy, near = camera.project(ribbon.points)
        ends, depths = np.stack([xy[:-1], xy[1:]], axis=1), np.stack([near[:-1], near[1:]], axis=1)
        run: list[np.ndarray] = []
        for line, found in zip(ends, visible_stretches(ends, depths, [frozenset()] * len(ends), sights, camera.distance)):
            for low, high in found:
                a, b = line[0] + low * (line[1] - line[0]), line[0] + high * (line[1] - line[0])
                if run and np.allclose(run[-1], a, atol=0.01):
                    run.append(b)
                else:
                    made += [np.array(run)] if run else []
                    run = [a, b]
        made += [np.array(run)] if run else []
    return made
