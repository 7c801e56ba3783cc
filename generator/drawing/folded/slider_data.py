"""The whole way from the flat sheets to the finished box, as data from which a small program can fold it.

Not pictures but what is needed to make them: panels, the tree in which they
hang, the angles of all folds at places of the way, bent sheets as a moving
mesh. So paper keeps its size whatever is shown, and the data stays small.
Places are numbers: 0 is the flat sheet, 1 the shape after the first of
``steps``, and so on.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from generator.drawing.folded.layer_order import LAYER_DISTANCE
from generator.drawing.folded.solid_builder import SolidBuilder
from generator.drawing.folded.tutorial_pictures import lid_index, shape_changes, solid_builders
from generator.folding import FoldedPlan
from generator.folding.bending.motion import SurfaceMotion, surface_motion
from generator.folding.stages import FoldStage, angles_between
from generator.paper.records import Plan, Thread

PLAN_RESOLUTION = 1000         # parts of a millimetre: points of the flat plan
SURFACE_RESOLUTION = 100        # … and of bent sheets
ANGLE_RESOLUTION = 10000        # parts of a radian
DIRECTION_DECIMALS = 6           # decimals of directions
FOLD, EDGE, HOLE = 0, 1, 2      # kinds of lines


@dataclass(frozen=True, slots=True)
class SliderData:
    """``steps`` are the places 1, 2 …; one more follows where ``lid`` names the piece that is then put over the other.

    ``bodies`` holds plain numbers and lists, one mapping for each piece.
    """

    steps: tuple[int, ...]
    lid: int | None
    bodies: tuple[Mapping[str, object], ...]


def slider_data(plan: Plan, folded: FoldedPlan | None, cache: MutableMapping[str, bytes] | None = None) -> SliderData | None:
    """The way of the drawn edition; None where nothing is folded. What takes long is stored in ``cache``."""
    cache = {} if cache is None else cache
    builders = solid_builders(plan, folded)
    courses = [surface_motion(builder.plan, builder.piece, cache) for builder in builders]
    if not builders or any(course is None and builder.skin is not None for builder, course in zip(builders, courses)):
        return None
    steps = tuple(sorted({*shape_changes(builders), *(step for course in courses if course for step in course.steps)}))
    if not steps:
        return None
    return SliderData(steps, lid_index([builder.info.name for builder in builders]),
                  tuple(_piece_data(builder, course, steps) for builder, course in zip(builders, courses)))


def _piece_data(builder: SolidBuilder, course: SurfaceMotion | None, steps: Sequence[int]) -> dict[str, object]:
    """One piece. ``up`` is 1 where its printed side is the +z side; ``turn`` takes its frame to the table's, row by row."""
    panels = builder.piece.flat.panels
    rides = [builder.rides(panel.id) for panel in panels]
    made = {
        "up": int(builder.info.up == "printed"), "turn": _rounded(builder.turn),
        "panels": [_panel_mesh(builder, panel.id) if ride is not None else None for panel, ride in zip(panels, rides)],
        "rides": [-1 if ride is None else ride for ride in rides],
        "root": builder.way.link.root,
        "arms": [[arm.panel, arm.parent, arm.hinge, *_plan_integers(arm.origin[:2]), *_rounded(arm.axis[:2])] for arm in builder.way.link.arms],
        "lines": [*_hinges(builder), *_edges(builder), *_borders(builder), *_rims(builder)],
        "angles": list(_angles(builder, steps)),
        "lifts": list(_lifts(builder, steps)),
        "laces": list(_ribbon_paths(builder, course, steps)),
        "moves": _change_places(builder, course, steps),
    }
    if course is not None:
        made["skin"] = _surface_data(builder, course, steps)
    return made


def _change_places(builder: SolidBuilder, course: SurfaceMotion | None, steps: Sequence[int]) -> list[int]:
    """The places at which this piece has changed."""
    own = {*shape_changes([builder]), *(course.steps if course else ())}
    return [place for place, step in enumerate(steps, start=1) if step in own]


# -- flat panels --------------------------------------------------------------

def _panel_mesh(builder: SolidBuilder, panel: int) -> list[list[int]]:
    """Points of a panel (x, y, x, y …) and its triangles, counter-clockwise; punched holes are left open from the start."""
    shape = builder.piece.flat.panels[panel].polygon
    rims = [xy for _, where, xy in builder.punches if where == panel]
    if rims:
        shape = shapely.difference(shape, shapely.union_all([shapely.polygons(xy) for xy in rims]))
    cells = shapely.get_parts(shapely.constrained_delaunay_triangles(shape))
    corners = np.array([shapely.get_coordinates(cell)[:3] for cell in cells])
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    clockwise = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] < 0
    corners[clockwise] = corners[clockwise][:, ::-1]
    points, numbers = np.unique(np.round(corners.reshape(-1, 2) * PLAN_RESOLUTION).astype(int), axis=0, return_inverse=True)
    return [points.ravel().tolist(), numbers.ravel().tolist()]


def _panel_line(kind: int, one: int, other: int, hinge: int, xy: np.ndarray) -> list[int]:
    """A line on panel ``one``: kind, the panels beside it, the hinge that it is (-1 for none), and its points."""
    return [kind, one, other, hinge, *_plan_integers(np.asarray(xy).ravel())]


def _hinges(builder: SolidBuilder) -> Iterator[list[int]]:
    for hinge in builder.piece.flat.hinges:
        sides = [k for k in (hinge.left, hinge.right) if builder.rides(k) is not None]
        if sides:
            yield _panel_line(FOLD, sides[0], sides[-1], hinge.id, np.array((hinge.start, hinge.end)))


def _edges(builder: SolidBuilder) -> Iterator[list[int]]:
    for edge in builder.piece.flat.edges:
        if builder.rides(edge.panel) is not None:
            yield _panel_line(EDGE, edge.panel, edge.panel, -1, np.array((edge.start, edge.end)))


def _borders(builder: SolidBuilder) -> Iterator[list[int]]:
    for one, other, xy in builder.borders:
        if builder.rides(one) is not None and builder.rides(other) is not None:
            yield _panel_line(FOLD, one, other, -1, xy)


def _rims(builder: SolidBuilder) -> Iterator[list[int]]:
    for _, panel, xy in builder.punches:
        if panel >= 0 and builder.rides(panel) is not None:
            yield _panel_line(HOLE, panel, panel, -1, np.append(xy, xy[:1], axis=0))


# -- how it is folded ---------------------------------------------------------

def _at_places(builder: SolidBuilder, steps: Sequence[int]) -> list[FoldStage]:
    """How the piece stands at each place, 0 among them."""
    made, left = [builder.way.flat], list(builder.stages)
    for step in steps:
        done = [stage for stage in left if stage.step <= step]
        made.append(done[-1] if done else made[-1])
        left = [stage for stage in left if stage.step > step]
    return made


def _angles(builder: SolidBuilder, steps: Sequence[int]) -> Iterator[list[float]]:
    """Rows of place and angles; between two of them every fold turns evenly."""
    stages = _at_places(builder, steps)
    yield _row(0.0, stages[0].angles)
    for place, (one, other) in enumerate(zip(stages, stages[1:])):
        if one is other or np.allclose(one.angles, other.angles):
            continue
        rows = angles_between(builder.way, one, other)
        if place:
            yield _row(place, one.angles)
        for k, row in enumerate(rows[1:], start=1):
            yield _row(round(place + k / (len(rows) - 1), 4), row)


def _row(place: float, angles: np.ndarray) -> list[float]:
    return [place, *np.round(angles * ANGLE_RESOLUTION).astype(int).tolist()]


def _lifts(builder: SolidBuilder, steps: Sequence[int]) -> Iterator[list[int]]:
    """Rows of place, panel, level, panel, level …: which panels lie on others, in layers towards their +z side."""
    stages = _at_places(builder, steps)
    firm = [panel.id for panel in builder.piece.flat.panels if builder.is_firm(panel.id)]
    for place, (one, other) in enumerate(zip(stages, stages[1:]), start=1):
        if other is not one:
            found = builder.layers.lifts(other, firm)
            yield [place, *(n for k, lift in found.items() for n in (k, round(lift / LAYER_DISTANCE)))]


# -- ribbons ------------------------------------------------------------------

def _ribbon_paths(builder: SolidBuilder, course: SurfaceMotion | None, steps: Sequence[int]) -> Iterator[list[object]]:
    """For every ribbon the place from which it is there, its stretches on flat panels, and those on the bent sheet.

    A stretch on panels is how far off the paper it runs, then panel, x, y of
    each point; one on the sheet has seat, triangle and two weights instead.
    """
    for act in builder.plan.acts:
        if isinstance(act.detail, Thread) and builder.piece.piece in act.pieces and max(steps) >= act.step:
            place = next(k for k, step in enumerate(steps, start=1) if step >= act.step)
            flat = [[round(off, 2), *(n for p in xy for n in (builder.nearest(p), *_plan_integers(p)))] for xy, off in builder.laces(act.detail, False)
                    if all(builder.rides(builder.nearest(p)) is not None for p in xy)]
            bent = [[round(off, 2), *(n for p in xy for n in _surface_anchor(course, p))] for xy, off in builder.laces(act.detail, True)] \
                if course is not None else []
            yield [place, flat, bent]


def _surface_anchor(course: SurfaceMotion, spot: np.ndarray) -> list[float]:
    """Seat, triangle, and the weights of its second and third corner, for a point of the flat plan."""
    best = (-np.inf, 0, 0, 0.0, 0.0)
    for seat, lies in enumerate(course.plan):
        own = np.linalg.solve(lies[:, :2], spot - lies[:, 2])
        a, b, c = (course.flat[course.triangles[:, k]] for k in range(3))
        det = _cross(b - a, c - a)
        v, w = _cross(own - a, c - a) / det, _cross(b - a, own - a) / det
        within = np.min([1 - v - w, v, w], axis=0)
        k = int(within.argmax())
        best = max(best, (float(within[k]), seat, k, float(v[k]), float(w[k])), key=lambda found: round(found[0], 9))
    return [best[1], best[2], round(best[3], 4), round(best[4], 4)]


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


# -- bent sheets --------------------------------------------------------------

def _surface_data(builder: SolidBuilder, course: SurfaceMotion, steps: Sequence[int]) -> dict[str, object]:
    """``covers`` are the panels that the sheet stands for once it moves; ``points`` of each key are told by what they moved since the last."""
    keys = np.round(course.points * SURFACE_RESOLUTION).astype(int)
    moved = np.diff(keys, axis=0, prepend=np.zeros((1, *keys.shape[1:]), int))
    places = [steps.index(step) for step in course.steps]
    return {
        "at": [round(places[min(int(x), len(places) - 1)] + float(x) - min(int(x), len(places) - 1), 4) for x in course.at],
        "points": [part.T.ravel().tolist() for part in moved],
        "flat": np.round(course.flat * SURFACE_RESOLUTION).astype(int).ravel().tolist(),
        "triangles": course.triangles.ravel().tolist(),
        "patch": course.patch.ravel().tolist(),
        "seats": [_rounded(seat) for seat in course.seats], "plan": [_rounded(lies) for lies in course.plan],
        "lines": [[FOLD, *line] for line in course.folds] + [[EDGE, *line] for line in course.edges],
        "layers": [list(each) for each in course.layers],
        "rims": [[n for p in xy for n in _surface_anchor(course, p)] for xy in _surface_hole_rims(builder, course)],
        "covers": sorted({int(panel) for panel in builder.skin.panel}),
    }


def _surface_hole_rims(builder: SolidBuilder, course: SurfaceMotion) -> Iterator[np.ndarray]:
    """The rims of the holes that are punched in what the sheet stands for."""
    cells = np.concatenate([course.flat[course.triangles] @ lies[:, :2].T + lies[:, 2] for lies in course.plan])
    cover = shapely.coverage_union_all(shapely.polygons(cells))
    for _, _, xy in builder.punches:
        if cover.contains(shapely.Point(xy.mean(axis=0))):
            yield np.append(xy, xy[:1], axis=0)


def _plan_integers(numbers: np.ndarray) -> list[int]:
    return np.round(np.asarray(numbers) * PLAN_RESOLUTION).astype(int).tolist()


def _rounded(numbers: np.ndarray) -> list[float]:
    """Directions and places as they are, with as many decimals as matter."""
    return [int(n) if float(n).is_integer() else float(n) for n in np.round(np.asarray(numbers, float).ravel(), DIRECTION_DECIMALS) + 0.0]
