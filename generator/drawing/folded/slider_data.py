"""The data of the folding slider: the motion from the flat sheets to the finished box.

Not pictures but what is needed to draw them: panels, the tree of their
hinges, the fold angles at key places of the motion, bent sheets as a moving
mesh. So paper keeps its size whatever is shown, and the data stays small.
Places are numbers: 0 is the flat sheet, 1 the shape after the first of
``steps``, and so on.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.drawing.folded.arrangement import lid_index
from generator.drawing.folded.fold_pictures import shape_changes, solid_builders
from generator.drawing.folded.fold_ways import FoldWay, WayFinder
from generator.drawing.folded.layer_order import LAYER_DISTANCE
from generator.drawing.folded.projection import barycentric_weights, least_weights
from generator.drawing.folded.solid_builder import SolidBuilder, closed_ring
from generator.folding import FoldedPlan
from generator.folding.bending.motion import SurfaceMotion, surface_motion
from generator.folding.stages import FoldStage
from generator.geometry.arrays import FloatArray
from generator.paper.records import Plan, Thread

PLAN_RESOLUTION = 1000         # parts of a millimetre: points of the flat plan
SURFACE_RESOLUTION = 100        # … and of bent sheets
ANGLE_RESOLUTION = 10000        # parts of a radian
DIRECTION_DECIMALS = 6           # decimals of directions
FOLD, EDGE, HOLE = 0, 1, 2      # kinds of lines
SHOWN_BEFORE = 0.001            # of a step: so much before its end what it glued on is there


@dataclass(frozen=True, slots=True)
class SliderData:
    """``steps`` are the places 1, 2 …; ``bodies`` holds one mapping for each piece.

    One more place follows where ``lid`` is a piece that is then put over the
    other. The mappings hold plain numbers and lists.
    """

    steps: tuple[int, ...]
    lid: int | None
    bodies: tuple[Mapping[str, object], ...]


def slider_data(plan: Plan, box: FoldedPlan | None,
                cache: MutableMapping[str, bytes] | None = None) -> SliderData | None:
    """The motion of the drawn edition; None where nothing is folded.

    What takes long is stored in ``cache``.
    """
    cache = {} if cache is None else cache
    builders = solid_builders(plan, box)
    sheets = [surface_motion(builder.plan, builder.piece, cache) for builder in builders]
    pairs = list(zip(builders, sheets, strict=True))
    if not builders or any(sheet is None and builder.surface is not None for builder, sheet in pairs):
        return None
    folded = (step for step, changed in shape_changes(builders).items()
              if any(_is_seen(builder, stage) for builder, stage in changed))
    steps = tuple(sorted({*folded, *(step for sheet in sheets if sheet for step in sheet.steps)}))
    if not steps:
        return None
    return SliderData(steps, lid_index([builder.info.name for builder in builders]),
                  tuple(_piece_data(builder, sheet, steps) for builder, sheet in pairs))


def _is_seen(builder: SolidBuilder, stage: FoldStage) -> bool:
    """Whether a step turns a fold, bends paper, or leads a ribbon from one hole to another."""
    before = next((each for each in reversed(builder.stages) if each.step < stage.step), builder.motion.flat)
    threads = [act.detail for act in builder.plan.acts_of(stage.step) if isinstance(act.detail, Thread)]
    return (not np.allclose(before.angles, stage.angles) or before.surface is not stage.surface
            or any(True for thread in threads for _ in builder.ribbon_stretches(thread, False)))


def _piece_data(builder: SolidBuilder, sheet: SurfaceMotion | None,
                steps: Sequence[int]) -> dict[str, object]:
    """One piece.

    ``up`` is 1 where its printed side is the +z side; ``turn`` takes its frame
    to the table's, row by row.
    """
    panels = builder.piece.flat.panels
    carriers = [builder.carrier(panel.id) for panel in panels]
    ways = list(_ways(builder, steps))
    bent = () if sheet is None else (steps.index(sheet.steps[int(low)]) for low, _ in sheet.bends)
    snaps = [[float(place), place + 1] for place in bent]
    data: dict[str, object] = {
        "up": int(builder.info.up == "printed"), "turn": _rounded(builder.turn),
        "panels": [None if carrier is None else _panel_mesh(builder, panel.id)
                   for panel, carrier in zip(panels, carriers, strict=True)],
        "rides": [-1 if carrier is None else carrier for carrier in carriers],
        "root": builder.motion.link.root,
        "arms": [[arm.panel, arm.parent, arm.hinge, *_plan_integers(arm.origin[:2]), *_rounded(arm.axis[:2])]
                 for arm in builder.motion.link.arms],
        "lines": [*_hinges(builder), *_edges(builder), *_borders(builder), *_rims(builder)],
        "angles": list(_angles(builder, ways)),
        "bends": [[round(place + way.rigid, 4), place + 1] for place, way in ways if way.rigid < 1] + snaps,
        "lifts": list(_lifts(builder, steps)),
        "laces": list(_ribbon_paths(builder, sheet, steps)),
        "bows": [np.round(line, 2).ravel().tolist() for line in builder.ribbons(builder.stages[-1])],
        "extras": list(_extras(builder, steps)),
        "moves": _change_places(builder, sheet, steps),
    }
    if sheet is not None:
        data["skin"] = _surface_data(builder, sheet, steps)
    return data


def _change_places(builder: SolidBuilder, sheet: SurfaceMotion | None, steps: Sequence[int]) -> list[int]:
    """The places at which this piece has changed."""
    own = {*shape_changes([builder]), *(sheet.steps if sheet else ())}
    return [place for place, step in enumerate(steps, start=1) if step in own]


# -- flat panels --------------------------------------------------------------

def _panel_mesh(builder: SolidBuilder, panel: int) -> list[list[int]]:
    """Points of a panel (x, y, x, y …) and its triangles, counter-clockwise; punched holes are left open."""
    shape: BaseGeometry = builder.piece.flat.panels[panel].polygon
    rims = [xy for _, where, xy in builder.punches if where == panel]
    if rims:
        shape = shape.difference(shapely.union_all([Polygon(xy) for xy in rims]))
    return _mesh(shape)


def _mesh(shape: BaseGeometry) -> list[list[int]]:
    cells = shapely.get_parts(shapely.constrained_delaunay_triangles(shape))
    corners = np.array([shapely.get_coordinates(cell)[:3] for cell in cells])
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    clockwise = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] < 0
    corners[clockwise] = corners[clockwise][:, ::-1]
    points, numbers = np.unique(np.round(corners.reshape(-1, 2) * PLAN_RESOLUTION).astype(int), axis=0,
                                return_inverse=True)
    return [points.ravel().tolist(), numbers.ravel().tolist()]


def _panel_line(kind: int, one: int, other: int, hinge: int, xy: FloatArray) -> list[int]:
    """A line on panel ``one``: kind, the panels beside it, its hinge (-1 for none), and its points."""
    return [kind, one, other, hinge, *_plan_integers(np.asarray(xy).ravel())]


def _hinges(builder: SolidBuilder) -> Iterator[list[int]]:
    for hinge in builder.piece.flat.hinges:
        sides = [k for k in (hinge.left, hinge.right) if builder.carrier(k) is not None]
        if sides:
            yield _panel_line(FOLD, sides[0], sides[-1], hinge.id, np.array((hinge.start, hinge.end)))


def _edges(builder: SolidBuilder) -> Iterator[list[int]]:
    for edge in builder.piece.flat.edges:
        if builder.carrier(edge.panel) is not None:
            yield _panel_line(EDGE, edge.panel, edge.panel, -1, np.array((edge.start, edge.end)))


def _borders(builder: SolidBuilder) -> Iterator[list[int]]:
    for one, other, xy in builder.borders:
        if builder.carrier(one) is not None and builder.carrier(other) is not None:
            yield _panel_line(FOLD, one, other, -1, xy)


def _rims(builder: SolidBuilder) -> Iterator[list[int]]:
    for _, panel, xy in builder.punches:
        if panel >= 0 and builder.carrier(panel) is not None:
            yield _panel_line(HOLE, panel, panel, -1, closed_ring(xy))


# -- how it is folded ---------------------------------------------------------

def _at_places(builder: SolidBuilder, steps: Sequence[int]) -> list[FoldStage]:
    """The stage of the piece at each place, 0 among them."""
    stages = (builder.motion.flat, *builder.stages)
    return [stages[0], *([stage for stage in stages if stage.step <= step][-1] for step in steps)]


def _ways(builder: SolidBuilder, steps: Sequence[int]) -> Iterator[tuple[int, FoldWay]]:
    """The place where a way begins, and the way to the next place; none where no fold turns."""
    finder = WayFinder(builder)
    for place, (one, other) in enumerate(pairwise(_at_places(builder, steps))):
        if one is not other and not np.allclose(one.angles, other.angles):
            yield place, finder.way(one, other)


def _angles(builder: SolidBuilder, ways: Sequence[tuple[int, FoldWay]]) -> Iterator[list[float]]:
    """Rows of place and angles; between two of them every fold turns evenly."""
    yield _row(0.0, builder.motion.flat.angles)
    for place, way in ways:
        for share, row in list(zip(way.at, way.angles, strict=True))[0 if place else 1:]:
            yield _row(round(place + float(share), 4), row)


def _row(place: float, angles: FloatArray) -> list[float]:
    return [place, *np.round(angles * ANGLE_RESOLUTION).astype(int).tolist()]


def _lifts(builder: SolidBuilder, steps: Sequence[int]) -> Iterator[list[int]]:
    """Rows of place, panel, layer, panel, layer …: which panels lie on others, towards their +z side."""
    stages = _at_places(builder, steps)
    firm = [panel.id for panel in builder.piece.flat.panels if builder.is_firm(panel.id)]
    for place, (one, other) in enumerate(pairwise(stages), start=1):
        if other is not one:
            found = builder.layers.lifts(other, firm)
            yield [place, *(n for k, lift in found.items() for n in (k, round(lift / LAYER_DISTANCE)))]


# -- ribbons ------------------------------------------------------------------

def _ribbon_paths(builder: SolidBuilder, sheet: SurfaceMotion | None,
                  steps: Sequence[int]) -> Iterator[list[object]]:
    """For every ribbon its first place, its stretches on flat panels, and those on the bent sheet.

    A stretch on panels is how far off the paper it runs, then panel, x, y of
    each point; one on the sheet has seat, triangle and two weights instead.
    """
    for act in builder.plan.acts:
        if isinstance(act.detail, Thread) and builder.piece.piece in act.pieces and max(steps) >= act.step:
            place = next(k for k, step in enumerate(steps, start=1) if step >= act.step)
            flat = [[round(offset, 2), *(n for p in xy for n in (builder.nearest(p), *_plan_integers(p)))]
                    for xy, offset in builder.ribbon_stretches(act.detail, False)
                    if all(builder.carrier(builder.nearest(p)) is not None for p in xy)]
            bent = [[round(offset, 2), *(n for p in xy for n in _surface_anchor(sheet, p))]
                    for xy, offset in builder.ribbon_stretches(act.detail, True)] if sheet is not None else []
            yield [place, flat, bent]


def _surface_anchor(sheet: SurfaceMotion, point: FloatArray) -> list[float]:
    """Seat, triangle, and the weights of its second and third corner, for a point of the flat plan."""
    best = (-np.inf, 0, 0, 0.0, 0.0)
    for seat, placement in enumerate(sheet.plan):
        own = np.linalg.solve(placement[:, :2], point - placement[:, 2])
        weights = barycentric_weights(sheet.flat[sheet.triangles], own[None])[0]
        k = int(least_weights(weights).argmax())
        found = (float(weights[k].min()), seat, k, float(weights[k, 1]), float(weights[k, 2]))
        best = max(best, found, key=lambda each: round(each[0], 9))
    return [best[1], best[2], round(best[3], 4), round(best[4], 4)]


# -- what is glued on and put round --------------------------------------------

def _extras(builder: SolidBuilder, steps: Sequence[int]) -> Iterator[list[object]]:
    """For every mat, liner or film on a panel and every side of a band how it is drawn.

    The place after which it is there; 1 where its printed side is the +z side; its panel, x, y of points and
    half layers above it; or -1 and x, y, z where the finished box has it; its triangles and its lines.
    """
    last = builder.stages[-1]
    for step, patch in builder.attachments.patches(builder.is_firm):
        yield [_shown_after(step, steps), int(patch.up == "printed"), patch.panel, int(patch.side),
               *_mesh(patch.shape), [_plan_integers(line.ravel()) for line in patch.edges]]
    for step, facet, lines in builder.attachments.bands(last, builder.is_firm):
        yield [_shown_after(step, steps), int(facet.up == "printed"), -1, 0,
               _plan_integers(facet.corners.ravel()), [0, 1, 2, 0, 2, 3],
               [_plan_integers(line.points.ravel()) for line in lines]]


def _shown_after(step: int, steps: Sequence[int]) -> float:
    """A little before the place of a step, or after the stop before it where the step is none."""
    before = sum(each < step for each in steps)
    if step in steps:
        return before + 1 - SHOWN_BEFORE
    return before + (SHOWN_BEFORE if before else -SHOWN_BEFORE)


# -- bent sheets --------------------------------------------------------------

def _surface_data(builder: SolidBuilder, sheet: SurfaceMotion, steps: Sequence[int]) -> dict[str, object]:
    """``covers`` are the panels that the sheet replaces once it moves.

    The ``points`` of each key are given by how far they moved since the last.
    """
    keys = np.round(sheet.points * SURFACE_RESOLUTION).astype(int)
    moved = np.diff(keys, axis=0, prepend=np.zeros((1, *keys.shape[1:]), int))
    places = [steps.index(step) for step in sheet.steps]
    cells = np.concatenate([sheet.flat[sheet.triangles] @ placement[:, :2].T + placement[:, 2]
                            for placement in sheet.plan])
    return {
        "at": [round(places[min(int(x), len(places) - 1)] + float(x) - min(int(x), len(places) - 1), 4)
               for x in sheet.at],
        "points": [part.T.ravel().tolist() for part in moved],
        "flat": np.round(sheet.flat * SURFACE_RESOLUTION).astype(int).ravel().tolist(),
        "triangles": sheet.triangles.ravel().tolist(),
        "patch": sheet.patch.ravel().tolist(),
        "seats": [_rounded(seat) for seat in sheet.seats],
        "plan": [_rounded(placement) for placement in sheet.plan],
        "lines": [[FOLD, *line] for line in sheet.folds] + [[EDGE, *line] for line in sheet.edges],
        "layers": [list(each) for each in sheet.layers],
        "rims": [[n for p in xy for n in _surface_anchor(sheet, p)] for _, xy in builder.holes_in(cells)],
        "covers": sorted(set(builder.surface.panel.tolist() if builder.surface is not None else ())),
    }


def _plan_integers(numbers: FloatArray) -> list[int]:
    return [int(n) for n in np.round(numbers * PLAN_RESOLUTION)]


def _rounded(numbers: FloatArray) -> list[float]:
    """Directions and points with as many decimals as matter."""
    return [int(n) if float(n).is_integer() else float(n)
            for n in np.round(np.asarray(numbers, float).ravel(), DIRECTION_DECIMALS) + 0.0]
