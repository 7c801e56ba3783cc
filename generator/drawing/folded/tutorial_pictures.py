"""The pictures of folded paper in a tutorial: of the finished box, and after each step that changed its shape."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from generator.drawing import StepPicture
from generator.drawing.folded.camera import Body, Solid, choose_camera
from generator.drawing.folded.fold_picture import UndescribedPicture, draw_solid, shared_view
from generator.drawing.folded.solid_builder import PieceShape, SolidBuilder
from generator.folding import FoldedPlan
from generator.folding.records import placed_points
from generator.folding.stages import FoldStage
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.paper.work_kinds import Effect
from generator.units import memoised

MIN_MOVEMENT = 0.5         # mm; a step that moves no corner by more changes no shape
PIECE_GAP_SHARE = 0.22          # of the wider of two pieces: between those that stand beside each other
LID_LIFT_SHARE = 0.6         # of a lid's height: between it and its base
LID_NAME = "lid"


@dataclass(frozen=True, slots=True)
class FoldPictures:
    """``finished_solid`` is None where nothing tells how far the paper is folded; ``steps`` by number, of those that changed a shape.

    ``view`` is from where all of them are seen: yaw and pitch of the camera, in degrees.
    """

    finished: StepPicture | None = None
    steps: Mapping[int, StepPicture] = field(default_factory=dict)
    view: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class _UndescribedPictures:
    """The pictures without their words, as all languages share them."""

    finished: UndescribedPicture
    steps: Mapping[int, UndescribedPicture]
    view: tuple[float, float]


def fold_pictures(plan: Plan, folded: FoldedPlan | None, locale: Locale = ENGLISH) -> FoldPictures:
    """All pictures of folded paper, of the drawn edition, from one viewpoint and in one scale; none where nothing is folded."""
    drawn = _drawn_pictures(plan, folded) if folded else None
    if drawn is None:
        return FoldPictures()
    return FoldPictures(drawn.finished.told("finished", locale),
                        {step: each.told(f"shape-{step}", locale) for step, each in drawn.steps.items()}, drawn.view)


@memoised(2)
def _drawn_pictures(plan: Plan, folded: FoldedPlan) -> _UndescribedPictures | None:
    builders = _solid_builders(plan, folded)
    if not builders:
        return None
    shapes = {step: [builder.shape(stage) for builder, stage in found] for step, found in shape_changes(builders).items()}
    last = [builder.shape(builder.stages[-1]) for builder in builders]
    yaw = choose_camera(finished_solid(last, 0.0), [pieces_side_by_side(each, 0.0) for each in shapes.values()]).yaw
    whole, stages = finished_solid(last, yaw), {step: pieces_side_by_side(each, yaw) for step, each in shapes.items()}
    stand = shared_view(whole, tuple(stages.values()), yaw)
    steps = {step: draw_solid(solid, stand) for step, solid in stages.items()}
    step, view = builders[0].stages[-1].step, (stand.camera.yaw, stand.camera.pitch)
    if len(builders) == 1 and step in steps:     # the last step leaves the finished piece
        return _UndescribedPictures(steps[step], steps, view)
    return _UndescribedPictures(draw_solid(whole, stand), steps, view)


def solid_builders(plan: Plan, folded: FoldedPlan | None) -> list[SolidBuilder]:
    """One for every piece of a plan that is folded, and of which it is known how."""
    return _solid_builders(plan, folded) if folded else []


@memoised(2)
def _solid_builders(plan: Plan, folded: FoldedPlan) -> list[SolidBuilder]:
    builders = [SolidBuilder(plan, piece) for piece in folded.pieces if piece.judged]
    return [builder for builder in builders if builder.stages]


def lid_index(names: Sequence[str]) -> int | None:
    """Which of two pieces is the lid of the other."""
    lids = [number for number, name in enumerate(names) if LID_NAME in name.lower()]
    return lids[0] if len(names) == 2 and len(lids) == 1 else None


def finished_solid(shapes: Sequence[PieceShape], yaw: float) -> Solid:
    """Everything as it is in the end: a lid above its base, other pieces beside each other, as seen from ``yaw``."""
    lid = lid_index([shape.info.name for shape in shapes])
    if lid is not None:
        return lid_above_base(shapes[1 - lid], shapes[lid])
    return pieces_side_by_side(shapes, yaw)


def lid_above_base(base: PieceShape, lid: PieceShape) -> Solid:
    """A lid, turned upside down from how it was folded, some way above its base."""
    height, top = np.ptp(lid.points()[:, 2]), base.points()[:, 2].max()
    over = np.array((0.0, 0.0, top + height * (1 + LID_LIFT_SHARE)))
    placed = lid.moved(np.diag((1.0, -1.0, -1.0)), over, len(base.parts))
    return _solid((base, placed), ("", "above"))


def pieces_side_by_side(shapes: Sequence[PieceShape], yaw: float) -> Solid:
    """Pieces in a row from left to right, for who looks from ``yaw``."""
    right = np.array((np.cos(np.radians(yaw)), np.sin(np.radians(yaw)), 0.0))
    spans = [float(np.ptp(shape.points() @ right)) for shape in shapes]
    x, placed, count = 0.0, [], 0
    for shape, wide in zip(shapes, spans):
        placed.append(shape.moved(np.eye(3), (x + wide / 2) * right, count))
        x += wide + PIECE_GAP_SHARE * max(spans)
        count += len(shape.parts)
    return _solid(placed, ("", *("beside" for _ in placed[1:])))


def _solid(shapes: Sequence[PieceShape], places: Sequence[str]) -> Solid:
    return Solid(tuple(p for s in shapes for p in s.parts), tuple(c for s in shapes for c in s.courses),
                 tuple(r for s in shapes for r in s.ribbons),
                 tuple(Body(s.info.name, place) for s, place in zip(shapes, places)),
                 tuple(dict.fromkeys(note for s in shapes for note in s.notes)))


def shape_changes(builders: Sequence[SolidBuilder]) -> dict[int, list[tuple[SolidBuilder, FoldStage]]]:
    """Step → the pieces whose shape it changed, as they are after it."""
    made: dict[int, list[tuple[SolidBuilder, FoldStage]]] = {}
    for builder in builders:
        before = builder.way.flat
        for stage in builder.stages:
            if _changes_shape(builder, before, stage):
                made.setdefault(stage.step, []).append((builder, stage))
            before = stage
    return dict(sorted(made.items()))


def _changes_shape(builder: SolidBuilder, before: FoldStage, after: FoldStage) -> bool:
    """Whether a step moved paper, bent it, or put a ribbon through it."""
    plan, piece = builder.plan, builder.piece
    if any(act.effect is Effect.THREAD and piece.piece in act.pieces for act in plan.acts_of(after.step)):
        return True
    if builder.skin is not None and before.gathered != after.gathered:
        return True
    return any(np.abs(placed_points(before.frames[p.id], xy) - placed_points(after.frames[p.id], xy)).max() > MIN_MOVEMENT
               for p in piece.flat.panels if piece.placed[p.id] and not p.soft
               for xy in (np.asarray(p.polygon.exterior.coords),))
