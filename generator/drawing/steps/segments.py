"""A step's work on one piece, cut into spells during which the piece lies still."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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
    Thread,
)
from generator.paper.work_kinds import Effect


@dataclass(frozen=True, slots=True)
class StepSegment:
    """What is done to ``piece`` in one go: its state ``before`` (None when it is made here) and ``after``.

    ``turned`` is how the piece lay before it was turned for this segment, else None.
    """

    piece: PieceInfo
    step: int
    before: PieceState | None
    after: PieceState
    acts: tuple[Act, ...]
    turned: Orientation | None = None

    @property
    def orientation(self) -> Orientation:
        return self.after.orientation

    @property
    def numbers(self) -> frozenset[int]:
        """The numbers of its acts."""
        return frozenset(act.number for act in self.acts)

    @property
    def makes_piece(self) -> bool:
        return self.before is None

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The marks it makes, as they are after it."""
        return tuple(mark for mark in self.after.marks if mark.act in self.numbers)

    @property
    def old_marks(self) -> tuple[Mark, ...]:
        return tuple(mark for mark in self.after.marks if mark.act not in self.numbers)

    @property
    def folds(self) -> tuple[Fold, ...]:
        return tuple(fold for fold in self.after.folds if fold.act in self.numbers)

    @property
    def old_folds(self) -> tuple[Fold, ...]:
        return tuple(fold for fold in self.after.folds if fold.act not in self.numbers)

    @property
    def faces(self) -> tuple[Face, ...]:
        """The panels it hangs on the piece."""
        return tuple(face for face in self.after.faces if face.act in self.numbers)

    @property
    def hangs_panels(self) -> bool:
        """True where panels are hung on the piece, so that its outline grows."""
        return self.does(Effect.ATTACH)

    @property
    def glues(self) -> tuple[Glue, ...]:
        return tuple(act.detail for act in self.acts if isinstance(act.detail, Glue))

    @property
    def seams(self) -> tuple[Seam, ...]:
        return tuple(act.detail for act in self.acts if isinstance(act.detail, Seam))

    @property
    def threads(self) -> tuple[Thread, ...]:
        return tuple(act.detail for act in self.acts if isinstance(act.detail, Thread))

    @property
    def removes(self) -> bool:
        """True where paper goes."""
        return self.does(Effect.CUT_AWAY)

    def does(self, *effects: Effect) -> bool:
        """True when one of its acts has one of these effects."""
        return any(act.effect in effects for act in self.acts)


def step_segments(plan: Plan, step: int) -> Iterator[StepSegment]:
    """The spells of a step, piece by piece in the order the pieces are first worked on."""
    acts = tuple(act for act in plan.acts_of(step) if act.kind.leaves_trace)
    for piece in dict.fromkeys(p for act in acts for p in act.pieces):
        yield from _piece_segments(plan, step, piece, tuple(act for act in acts if piece in act.pieces))


def _piece_segments(plan: Plan, step: int, piece: int, acts: tuple[Act, ...]) -> Iterator[StepSegment]:
    info = next(p for p in plan.pieces if p.id == piece)
    before = plan.state(piece, before_step=step)
    for turns, work in _split_at_turns(acts):
        lay = before.orientation if before else None
        last = (work or turns)[-1]
        after = _state_after(plan, piece, last.number)
        if after is None:
            continue
        turned = lay if turns and lay is not None and lay != after.orientation else None
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
