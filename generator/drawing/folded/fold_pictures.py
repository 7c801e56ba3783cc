"""The pictures of folded paper in a tutorial: the finished box, and each step that changed its shape.

All are in perspective, shaded, without what is hidden, from one viewpoint and
to one scale; their descriptions are made from the same data.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass, field, replace
from generator.drawing.folded.arrangement import TIED_NOTE, assembled_solid, finished_solid, side_by_side
from generator.drawing.folded.camera import Camera, Solid, box_centre, choose_camera
from generator.drawing.folded.contours import ContourLine, contours
from generator.drawing.folded.hidden_lines import polygonal_part, visible_areas, visible_stretches
from generator.drawing.folded.projection import ProjectedArea, projected_areas
from generator.drawing.folded.solid_builder import SolidBuilder
from generator.drawing.paper_colours import side_colour
from generator.drawing.pen import Contour, FoldedFace, Path, Surface
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.steps.layout import PICTURE_WIDTH
from generator.drawing.steps.step_picture import StepPicture
from generator.folding import FoldedPlan
from generator.folding.records import placed_points
from generator.folding.stages import FoldStage
from generator.geometry import Arc, Line, Point
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import PICTURE_CHORD_TOLERANCE, PICTURE_GRID, PLACE_TOLERANCE
from generator.locale import ENGLISH, Locale, capital
from generator.paper.records import Plan
from generator.paper.work_kinds import Effect
from generator.units import memoised

MAX_PICTURE_HEIGHT = 96.0   # mm
PAPER_MARGIN = 4.0         # mm round the paper
MAX_PICTURE_SCALE = 1.4     # times natural size
COORDINATE_DECIMALS = 2     # of mm in the picture
CORNER_ANGLE = math.radians(50)    # a curve turns by less at each of its points
STEEP_PITCH = 35.0          # degrees above the table
MIN_NAMED_AREA = 1.0        # mm² of the picture; less of a side is not worth a word
MIN_MOVEMENT = 0.5          # mm; a step that moves no corner by more changes no shape


# -- which pictures a tutorial has --------------------------------------------

@dataclass(frozen=True, slots=True)
class FoldPictures:
    """``finished`` is None where it is not known how far the paper is folded; ``steps`` by number.

    ``assembled`` shows what the last action makes: a lid on its base, a drawer in its sleeve, a ring tied up.
    ``view`` is the yaw and pitch of the camera in degrees, ``scale`` by how much larger than the box the
    finished picture is.
    """

    finished: StepPicture | None = None
    steps: Mapping[int, StepPicture] = field(default_factory=dict)
    assembled: StepPicture | None = None
    view: tuple[float, float] = (0.0, 0.0)
    scale: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class _UndescribedPictures:
    """The pictures without their words, as all languages share them."""

    finished: UndescribedPicture
    steps: Mapping[int, UndescribedPicture]
    assembled: UndescribedPicture | None
    view: tuple[float, float]


def fold_pictures(plan: Plan, folded: FoldedPlan | None, locale: Locale = ENGLISH) -> FoldPictures:
    """All pictures of folded paper of the drawn edition; none where nothing is folded."""
    drawn = _drawn_pictures(plan, folded) if folded else None
    if drawn is None:
        return FoldPictures()
    return FoldPictures(drawn.finished.described("finished", locale),
                        {step: each.described(f"shape-{step}", locale) for step, each in drawn.steps.items()},
                        drawn.assembled.described("assembled", locale) if drawn.assembled else None,
                        drawn.view, drawn.finished.camera.scale)


@memoised(2)
def _drawn_pictures(plan: Plan, folded: FoldedPlan) -> _UndescribedPictures | None:
    builders = _solid_builders(plan, folded)
    if not builders:
        return None
    shapes = {step: [builder.shape(stage) for builder, stage in found]
              for step, found in shape_changes(builders).items()}
    last = [builder.shape(builder.stages[-1]) for builder in builders]
    yaw = choose_camera(finished_solid(last, 0.0),
                        [side_by_side(each, 0.0) for each in shapes.values()]).yaw
    finished = finished_solid(last, yaw)
    stages = {step: side_by_side(each, yaw) for step, each in shapes.items()}
    assembled = assembled_solid(builders, last, yaw)
    several = assembled is not None and assembled.bodies[0].count > 1
    together_too = (assembled,) if assembled and not several else ()
    camera = shared_camera(finished, (*stages.values(), *together_too), yaw)
    steps = {step: draw_solid(solid, camera) for step, solid in stages.items()}
    last_step = builders[0].stages[-1].step
    # the last step leaves the finished piece, where there is one only
    picture = steps[last_step] if len(builders) == 1 and last_step in steps else draw_solid(finished, camera)
    together = None
    if assembled is not None:       # of several boxes at a scale of its own, for they are much wider than one
        together = draw_solid(assembled, shared_camera(assembled, (), yaw) if several else camera)
    return _UndescribedPictures(picture, steps, together, (camera.yaw, camera.pitch))


def solid_builders(plan: Plan, folded: FoldedPlan | None) -> list[SolidBuilder]:
    """One for every piece of a plan that is folded, and of which it is known how."""
    return _solid_builders(plan, folded) if folded else []


@memoised(2)
def _solid_builders(plan: Plan, folded: FoldedPlan) -> list[SolidBuilder]:
    builders = [SolidBuilder(plan, piece) for piece in folded.pieces if piece.judged]
    return [builder for builder in builders if builder.stages]


def shape_changes(builders: Sequence[SolidBuilder]) -> dict[int, list[tuple[SolidBuilder, FoldStage]]]:
    """Step → the pieces whose shape it changed, as they are after it."""
    changes: dict[int, list[tuple[SolidBuilder, FoldStage]]] = {}
    for builder in builders:
        for before, after in pairwise((builder.motion.flat, *builder.stages)):
            if _changes_shape(builder, before, after):
                changes.setdefault(after.step, []).append((builder, after))
    return dict(sorted(changes.items()))


def _changes_shape(builder: SolidBuilder, before: FoldStage, after: FoldStage) -> bool:
    """Whether a step moved paper, bent it, or put a ribbon through it."""
    plan, piece = builder.plan, builder.piece
    if any(act.effect is Effect.THREAD and piece.piece in act.pieces for act in plan.acts_of(after.step)):
        return True
    if before.surface is not after.surface:
        return True
    corners = ((p.id, np.asarray(p.polygon.exterior.coords)) for p in piece.flat.panels
               if builder.is_firm(p.id))
    return any(np.abs(placed_points(before.frames[k], xy) - placed_points(after.frames[k], xy)).max()
               > MIN_MOVEMENT
               for k, xy in corners)


# -- one picture --------------------------------------------------------------

def shared_camera(finished: Solid, others: Sequence[Solid] = (), yaw: float | None = None) -> Camera:
    """The camera for the finished box and the stages before it, its scale so large that each of them fits."""
    camera = choose_camera(finished, others, yaw)
    extents = [np.ptp(_centred(camera, solid).project(solid.points())[0], axis=0)
               for solid in (finished, *others)]
    width, height = np.max(extents, axis=0).tolist()      # what is stored of a tutorial is read without numpy
    return replace(camera, scale=min((PICTURE_WIDTH - 2 * PAPER_MARGIN) / max(width, PLACE_TOLERANCE),
                                     (MAX_PICTURE_HEIGHT - 2 * PAPER_MARGIN) / max(height, PLACE_TOLERANCE),
                                     MAX_PICTURE_SCALE))


def _centred(camera: Camera, solid: Solid) -> Camera:
    """The same view of another solid: turned to its own centre."""
    return replace(camera, middle=box_centre(solid.points()))


@dataclass(frozen=True, slots=True, eq=False)
class UndescribedPicture:
    """A picture of folded paper without words: the same in every language."""

    solid: Solid
    camera: Camera
    projections: Sequence[ProjectedArea]
    areas: Sequence[BaseGeometry]       # what is visible of each projection
    recording: Recording

    def described(self, key: str, locale: Locale = ENGLISH) -> StepPicture:
        """The picture with its words."""
        return StepPicture(self.solid.bodies[0].name if self.solid.bodies else "", _title(self.solid, locale),
                           self._description(locale), {}, self.recording, (), key, "shape")

    def _description(self, locale: Locale) -> str:
        """Sentences: what stands where, which side of the paper is seen, from where, and further remarks."""
        solid = self.solid
        placed = [locale.say(f"drawing.shape.{body.place or 'stands'}", name=locale.name(body.name),
                             count=locale.number(body.count))
                  for body in solid.bodies]
        sentences = [locale.say("drawing.shape.told", names=locale.join(placed))] if placed else []
        sides = sorted({projection.side for projection, area in zip(self.projections, self.areas, strict=True)
                        if area.area > MIN_NAMED_AREA})
        if sides:
            sentences.append(locale.say(f"drawing.shape.outside_{sides[0]}" if len(sides) == 1
                                        else "drawing.shape.sides"))
        side = "right" if self.camera.yaw >= 0 else "left"
        steep = "steep_" if self.camera.pitch > STEEP_PITCH else ""
        sentences.append(locale.say(f"drawing.shape.{steep}{side}"))
        if len(solid.ribbons) > solid.notes.count(TIED_NOTE):
            sentences.append(locale.say("drawing.shape.ribbon"))
        return " ".join([*sentences, *(locale.say(f"drawing.shape.note.{note}") for note in solid.notes)])


def _title(solid: Solid, locale: Locale) -> str:
    """Such as "Base and lid, folded"."""
    names = [locale.name(body.name) for body in solid.bodies] or [locale.say("drawing.shape.nothing")]
    return capital(locale.say("drawing.shape.title", names=locale.join(names)))


def draw_solid(solid: Solid, view: Camera) -> UndescribedPicture:
    """A picture of a solid in a view shared with others.

    Raises ValueError where a coordinate is not a number.
    """
    camera = _centred(view, solid)
    projections, silhouettes = projected_areas(solid, camera)
    areas = visible_areas(projections, camera.distance)
    lines = contours(solid, camera, projections, areas, silhouettes)
    ribbons = _visible_ribbons(solid, camera, projections)
    return UndescribedPicture(solid, camera, projections, areas,
                              _recorded(solid, projections, areas, lines, ribbons))


def _recorded(solid: Solid, projections: Sequence[ProjectedArea], areas: Sequence[BaseGeometry],
              lines: Sequence[ContourLine], ribbons: Sequence[FloatArray]) -> Recording:
    """The recording, as high as what it shows."""
    points = np.concatenate([shapely.get_coordinates(area) for area in areas]
                            + [line.points for line in lines]
                            + list(ribbons) or [np.zeros((1, 2))])
    low, high = points.min(axis=0), points.max(axis=0)
    shift = np.array((PICTURE_WIDTH / 2 - (low[0] + high[0]) / 2, PAPER_MARGIN - low[1]))
    pen = RecordingPen()
    pen.begin("faces")
    for projection, area in zip(projections, areas, strict=True):
        info = solid.parts[projection.part].info
        _draw_face(pen, projection, area, shift, side_colour(info, projection.side))
    pen.end()
    pen.begin("lines")
    for line in lines:
        pen.contour(_path(line.points + shift, line.curved), line.contour)
    for ribbon in ribbons:
        pen.contour(_path(ribbon + shift, True), Contour.RIBBON)
    pen.end()
    height = float(high[1] - low[1]) + 2 * PAPER_MARGIN
    return pen.recording(PICTURE_WIDTH, round(height, COORDINATE_DECIMALS))


def _draw_face(pen: RecordingPen, projection: ProjectedArea, area: BaseGeometry, shift: FloatArray,
               colour: str) -> None:
    """A face in its tone; a bent one in several, beside each other."""
    side = Surface.PRINTED if projection.side == "printed" else Surface.PLAIN
    bands = [area, *(polygonal_part(area.intersection(band, grid_size=PICTURE_GRID))
                     for band in projection.bands)]
    for tone, (shape, darker) in enumerate(zip(bands, [*projection.bands, None], strict=True),
                                           start=projection.tone):
        band = shape if darker is None else shape.difference(darker, grid_size=PICTURE_GRID)
        loops = tuple(_loops(band, shift))
        if loops:
            pen.face(loops, FoldedFace(side, tone, colour))


def _loops(shape: BaseGeometry, shift: FloatArray) -> Iterator[Path]:
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and part.area > 0.02:
            for ring in (part.exterior, *part.interiors):
                xy = np.round(shapely.get_coordinates(shapely.simplify(ring, 0.025)) + shift,
                              COORDINATE_DECIMALS)
                path = tuple(Line(Point(*a), Point(*b)) for a, b in pairwise(xy.tolist()) if a != b)
                if len(path) > 2:
                    yield path


def _path(points: FloatArray, curved: bool) -> Path:
    """A path through points (n × 2); between those of a curve run arcs that turn as the curve does there."""
    xy = np.round(points, COORDINATE_DECIMALS)
    xy = xy[np.append(True, np.any(np.diff(xy, axis=0), axis=1))]
    if len(xy) < 2:
        xy = np.array((xy[0], xy[0] + (0.01, 0.0)))
    turns = _turning_angles(xy) if curved and len(xy) > 2 else np.zeros(len(xy))
    path: list[Arc | Line] = []
    for k, (a, b) in enumerate(pairwise(xy.tolist())):
        bulge = math.dist(a, b) / 2 * math.tan((turns[k] + turns[k + 1]) / 2 / 4)
        ends = Point(*a), Point(*b)
        path.append(Arc(*ends, -round(bulge, 4)) if abs(bulge) > PICTURE_CHORD_TOLERANCE else Line(*ends))
    return tuple(path)


def _turning_angles(xy: FloatArray) -> FloatArray:
    """By how much a line (n × 2) turns at each of its points (n), in radians, + to the left; at corners 0.

    At its ends it turns as much as at the points beside them.
    """
    steps = np.diff(xy, axis=0)
    angles = np.arctan2(steps[:, 1], steps[:, 0])
    closed = np.allclose(xy[0], xy[-1])
    turns = np.diff(np.append(angles, angles[0]) if closed else angles)
    turns = (turns + np.pi) % (2 * np.pi) - np.pi
    turns = np.where(np.abs(turns) > CORNER_ANGLE, 0.0, turns)
    return np.concatenate([turns[-1:], turns] if closed else [turns[:1], turns, turns[-1:]])


def _visible_ribbons(solid: Solid, camera: Camera, projections: Sequence[ProjectedArea]) -> list[FloatArray]:
    """The visible stretches of ribbons (n × 2), joined where one continues another."""
    runs: list[list[FloatArray]] = []
    for ribbon in solid.ribbons:
        xy, near = camera.project(ribbon)
        ends, depths = np.stack([xy[:-1], xy[1:]], axis=1), np.stack([near[:-1], near[1:]], axis=1)
        stretches = visible_stretches(ends, depths, [frozenset()] * len(ends), projections, camera.distance)
        first = len(runs)
        for line, found in zip(ends, stretches, strict=True):
            for low, high in found:
                a, b = (line[0] + share * (line[1] - line[0]) for share in (low, high))
                if len(runs) > first and np.allclose(runs[-1][-1], a, atol=0.01):
                    runs[-1].append(b)
                else:
                    runs.append([a, b])
    return [np.array(run) for run in runs]
