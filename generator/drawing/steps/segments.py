"""A step's work on one piece, split wherever the piece is turned, and the paper before and after it."""
from __future__ import annotations

from collections.abc import Iterator

from generator.dataclass import dataclass
from generator.drawing.picture_geometry import Box, View, polygon_loops, united_box
from generator.geometry import Line, Region
from generator.geometry.tolerances import CHORD_TOLERANCE
from generator.paper.glue_sides import GluedArea, glued_areas
from generator.paper.orientation import side_up
from generator.paper.records import (
    Act,
    Face,
    Fold,
    Glue,
    Mark,
    Orientation,
    PieceInfo,
    PieceState,
    Plan,
    Seam,
)
from generator.paper.work_kinds import Effect
from generator.units import ZERO


@dataclass(frozen=True, slots=True)
class StepSegment:
    """What is done to ``piece`` without turning it: its states ``before`` (None if made here) and ``after``.

    ``turned`` is its orientation before it was turned for this segment, else None.
    """

    piece: PieceInfo
    step: int
    before: PieceState | None
    after: PieceState
    acts: tuple[Act, ...]
    turned: Orientation | None = None

    @property
    def orientation(self) -> Orientation:
        """How the piece lies."""
        return self.after.orientation

    @property
    def side_up(self) -> str:
        """The side of the paper that is up: "plain" or "printed"."""
        return side_up(self.piece.up, self.orientation)

    @property
    def numbers(self) -> frozenset[int]:
        """The numbers of its acts."""
        return frozenset(act.number for act in self.acts)

    @property
    def makes_piece(self) -> bool:
        """True where the piece is made here."""
        return self.before is None

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The marks it makes, as they are after it."""
        return tuple(mark for mark in self.after.marks if mark.act in self.numbers)

    @property
    def old_marks(self) -> tuple[Mark, ...]:
        """The marks that were there before."""
        return tuple(mark for mark in self.after.marks if mark.act not in self.numbers)

    @property
    def folds(self) -> tuple[Fold, ...]:
        """The folds it makes."""
        return tuple(fold for fold in self.after.folds if fold.act in self.numbers)

    @property
    def faces(self) -> tuple[Face, ...]:
        """The panels it attaches to the piece."""
        return tuple(face for face in self.after.faces if face.act in self.numbers)

    @property
    def attaches_panels(self) -> bool:
        """True where panels are attached to the piece, so that its outline grows."""
        return self.does(Effect.ATTACH)

    @property
    def glues(self) -> tuple[Glue, ...]:
        """What it glues."""
        return tuple(act.detail for act in self.acts if isinstance(act.detail, Glue))

    def glued_areas(self, plan: Plan) -> tuple[GluedArea, ...]:
        """Where its piece gets glue."""
        return tuple(area for area in glued_areas(plan)
                     if area.piece == self.piece.id and area.act in self.numbers)

    @property
    def seams(self) -> tuple[Seam, ...]:
        """The edges it joins."""
        return tuple(act.detail for act in self.acts if isinstance(act.detail, Seam))

    @property
    def removes(self) -> bool:
        """True where paper goes."""
        return self.does(Effect.CUT_AWAY)

    def does(self, *effects: Effect) -> bool:
        """True when one of its acts has one of these effects."""
        return any(act.effect in effects for act in self.acts)


def step_segments(plan: Plan, step: int) -> Iterator[StepSegment]:
    """The segments of a step, piece by piece in the order the pieces are first worked on."""
    acts = tuple(act for act in plan.acts_of(step) if act.kind.leaves_trace)
    for piece in dict.fromkeys(p for act in acts for p in act.pieces):
        yield from _piece_segments(plan, step, piece, tuple(act for act in acts if piece in act.pieces))


def _piece_segments(plan: Plan, step: int, piece: int, acts: tuple[Act, ...]) -> Iterator[StepSegment]:
    info = next(p for p in plan.pieces if p.id == piece)
    before = plan.state(piece, before_step=step)
    for turns, work in _split_at_turns(acts):
        earlier = before.orientation if before else None
        last = (work or turns)[-1]
        after = _state_after(plan, piece, last.number)
        if after is None:
            continue
        turned = earlier if turns and earlier is not None and earlier != after.orientation else None
        yield StepSegment(info, step, before, after, (*turns, *work), turned)
        before = after


def _split_at_turns(acts: tuple[Act, ...]) -> Iterator[tuple[tuple[Act, ...], tuple[Act, ...]]]:
    """(turns, the work after them): a turn after work begins a new segment."""
    turns: list[Act] = []
    work: list[Act] = []
    for act in acts:
        if act.effect is Effect.TURN:
            if work:
                yield tuple(turns), tuple(work)
                turns, work = [], []
            turns.append(act)
        else:
            work.append(act)
    if turns or work:
        yield tuple(turns), tuple(work)


def _state_after(plan: Plan, piece: int, act: int) -> PieceState | None:
    found = None
    for number, state in plan.states.get(piece, ()):
        if number > act:
            break
        found = state
    return found


# -- the paper -----------------------------------------------------------------


def piece_box(state: PieceState) -> Box:
    """The bounding box of a piece in its own frame."""
    x, y = (float(q) for q in state.origin or (ZERO, ZERO))
    return Box(x, y, x + float(state.width), y + float(state.height))


def initial_state(segment: StepSegment, plan: Plan) -> PieceState:
    """How the piece was right after it was made."""
    return plan.states[segment.piece.id][0][1]


@dataclass(frozen=True, slots=True)
class PaperView:
    """The paper ``before`` and ``after``; ``box`` goes round both, ``removed`` are loops of what goes.

    Boxes and loops are as seen.
    """

    before: PieceState
    after: PieceState
    box: Box
    removed: tuple[tuple[Line, ...], ...]


def paper_view(segment: StepSegment, plan: Plan, view: View, whole: bool = False) -> PaperView:
    """The paper of one segment; with ``whole`` only as it is in the end."""
    before = segment.after if whole else segment.before or initial_state(segment, plan)
    states = before, segment.after
    removed: tuple[tuple[Line, ...], ...] = ()
    if segment.removes and not whole:
        was, now = (viewed_region(state, view).polygon(CHORD_TOLERANCE) for state in states)
        removed = polygon_loops(was.difference(now))
    return PaperView(*states, united_box(view.box(piece_box(state)) for state in states), removed)


def viewed_region(state: PieceState, view: View) -> Region:
    """The area of a piece, as a view shows it."""
    return Region(view.path(tuple(rim.stroke for rim in state.outline)),
                  tuple(view.path(tuple(rim.stroke for rim in hole)) for hole in state.holes))
