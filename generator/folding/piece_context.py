"""What every check is handed: one folded piece with its plan; how a check words measures; sides of panels."""
from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, wraps
from typing import TypeVar
from weakref import WeakKeyDictionary

import numpy as np

from generator.dataclass import dataclass
from generator.findings import Span
from generator.folding.closings import Closing, GluedFace, PanelLocator, glued_faces
from generator.folding.kinematics import Linkage, linkage
from generator.folding.records import FoldedPiece
from generator.geometry.arrays import BoolArray, FloatArray
from generator.geometry.ties import snapped
from generator.geometry.tolerances import CLOSING_TOLERANCE, EQUAL_LENGTHS
from generator.paper.records import Act, Face, Mark, Paper, PieceInfo, PieceState, Plan
from generator.units import SYSTEMS, Quantity, as_text, display_measure, distinct_texts

Answer = TypeVar("Answer")
# mm; taken where a paper does not say its own (about 200 g/m², sources disagree)
DEFAULT_THICKNESS = 0.3
MAX_LAYER_GAP = 2.5             # mm between two panels that are pressed onto each other


@dataclass(frozen=True, eq=False)
class PieceContext:
    """One piece, folded. ``settled`` panels have a place that the closing of the box fixes."""

    plan: Plan
    info: PieceInfo
    state: PieceState
    folded: FoldedPiece

    @cached_property
    def link(self) -> Linkage:
        """The tree of its panels."""
        return linkage(self.folded.flat)

    @cached_property
    def signs(self) -> FloatArray:
        """+1 for each hinge that is bent towards +z, else −1."""
        return np.array([h.bend.sign for h in self.folded.flat.hinges], float)

    @cached_property
    def locator(self) -> PanelLocator:
        """Finds the panel that a face lies in."""
        return PanelLocator(self.folded.flat)

    @cached_property
    def glued(self) -> tuple[GluedFace, ...]:
        """Faces glued to faces of this piece whose panels are both in their place."""
        return tuple(s for s in glued_faces(self.plan, self.info.id, self.locator)
                     if self.is_rigid(s.panel) and self.is_rigid(s.target_panel))

    @cached_property
    def closings(self) -> tuple[Closing, ...]:
        """What must close on it, one for each residual."""
        return tuple(c for c in self.folded.closings if isinstance(c, Closing))

    def is_rigid(self, panel: int) -> bool:
        """Whether a panel stays flat and hangs together with the rest by flat paper."""
        return self.folded.placed[panel] and not self.folded.flat.panels[panel].soft

    @property
    def thickness(self) -> float:
        """Of its paper, in mm."""
        return paper_thickness(self.info.paper)

    def length_text(self, mm: float) -> str:
        """A length in the words of the edition."""
        return length_text(self.plan, mm)

    def length_texts(self, *mm: float) -> tuple[str, ...]:
        """Lengths that are compared, in words that differ where they do."""
        return length_texts(self.plan, *mm)

    def closes(self) -> bool:
        """Whether every closing condition holds well enough for the rest to be judged."""
        return self.folded.judged and all(r.gap <= 2 * CLOSING_TOLERANCE for r in self.folded.residuals
                                          if r.kind != "gather")

    def last_fold(self, *panels: int) -> Span:
        """The statement that last folded one of these panels; that of the piece where none did."""
        bends = [h.bend for k in panels for h in self.folded.flat.hinges_of(k)]
        return max(bends, key=lambda b: b.act).span if bends else self.info.span

    def panel_name(self, panel: int) -> str:
        """A panel by the name of the last face that lies in it, or by the piece."""
        for act in reversed(self.plan.acts):
            for face in self.state.faces:
                if face.id in act.faces and self.locator.panel(face) == panel and face.name:
                    return f"'{face.name}'" + (f" {face.index}" if face.count > 1 else "")
        for glued in self.glued:
            if glued.panel == panel and glued.face.name:
                return f"'{glued.face.name}'" + (f" {glued.face.index}" if glued.face.count > 1 else "")
        return f"a panel of '{self.info.name}'"

    def act(self, number: int) -> Act:
        """An act of the plan by its number."""
        return self.plan.acts[number]


def feature(compute: Callable[[PieceContext], Answer]) -> Callable[[PieceContext], Answer]:
    """Compute a feature once for each folded piece, however many checks ask for it."""
    known: WeakKeyDictionary[PieceContext, Answer] = WeakKeyDictionary()

    @wraps(compute)
    def answer(context: PieceContext) -> Answer:
        if context not in known:
            known[context] = compute(context)
        return known[context]
    return answer


def paper_thickness(paper: Paper | None) -> float:
    """How thick a paper is, in mm; the usual where it does not say."""
    known = paper.thickness if paper is not None else None
    return DEFAULT_THICKNESS if known is None else float(known.value)


def face_name(face: Face) -> str:
    """A face as a finding calls it: its name, and which of how many it is."""
    return _numbered(face, "this face")


def hole_name(mark: Mark) -> str:
    """A hole as a finding calls it: its name, and which of how many it is."""
    return _numbered(mark, "this hole")


def _numbered(item: Mark | Face, otherwise: str) -> str:
    name = f"'{item.name}'" if item.name else otherwise
    return name + (f" {item.index} of {item.count}" if item.count > 1 else "")


def final_state(plan: Plan, piece: int) -> PieceState:
    """The last state of a piece that has been made."""
    return plan.states[piece][-1][1]


def length_text(plan: Plan, mm: float) -> str:
    """A length in mm in the words of a plan's edition, to a tenth of a millimetre."""
    mm = float(snapped(mm))      # so that half of a tenth is rounded alike everywhere
    if not SYSTEMS[plan.system].halves:
        return f"{round(mm, 1):g} {plan.system}"
    return as_text(display_measure(Quantity(float(mm), 1), plan.system))


def length_texts(plan: Plan, *mm: float) -> tuple[str, ...]:
    """Lengths in mm that are compared, in words of a plan's edition that differ where they do."""
    usual = tuple(length_text(plan, each) for each in mm)
    if len(set(usual)) == len(usual):
        return usual
    return distinct_texts([Quantity(float(snapped(each)), 1) for each in mm], plan.system)


def has_undetermined_path(folded: FoldedPiece, paths: BoolArray, panel: int) -> bool:
    """Whether a panel's place depends on an angle that nothing settles."""
    return any(paths[panel, k] for k in folded.undetermined)


def printed_normal(context: PieceContext, panel: int) -> FloatArray:
    """The unit vector out of the printed side of a panel."""
    normal = context.folded.normal(panel)
    return normal if context.info.up == "printed" else -normal


def outward(context: PieceContext, panel: int) -> FloatArray:
    """The unit vector from the box out of a panel; out of its printed side where it lies in the middle."""
    points = np.concatenate([context.folded.corners(k) for k in range(len(context.folded.flat.panels))
                             if context.is_rigid(k)])
    normal = context.folded.normal(panel)
    off = float((context.folded.corners(panel).mean(axis=0) - (points.min(axis=0) + points.max(axis=0))
                 / 2) @ normal)
    if abs(off) <= EQUAL_LENGTHS:
        return printed_normal(context, panel)
    return normal if off > 0 else -normal


def pressed_together(context: PieceContext, one: int, other: int) -> bool:
    """Whether two panels lie on each other, parallel and hardly apart."""
    folded = context.folded
    normal = folded.normal(one)
    if abs(float(normal @ folded.normal(other))) < 1 - 1e-3:
        return False
    heights = (folded.corners(other) - folded.corners(one)[0]) @ normal
    return bool(np.abs(heights).max() <= MAX_LAYER_GAP)
