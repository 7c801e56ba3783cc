"""The revision mark of an edition: six characters that change when a line of its plan moves."""
from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from typing import SupportsFloat

from generator.geometry import Stroke
from generator.paper.records import Act, Glue, Mark, PieceState, Plan, Seam, Thread

CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"   # Crockford's base 32: no I, L, O or U
LENGTH = 6
HASHED_PLACES = 6     # decimals of mm; what is finer is the dust of arithmetic


def revision_mark(plan: Plan) -> str:
    """The first six characters of the hash of what the reader makes, in Crockford's base 32.

    The paper's weight and the words are not in it: an old print stays good when they change.
    """
    return mark_of(plan_lines(plan))


def mark_of(lines: Iterable[str]) -> str:
    """The mark of these lines."""
    digest = hashlib.sha256()
    for line in lines:
        digest.update(line.encode("utf-8") + b"\n")
    bits = int.from_bytes(digest.digest(), "big")
    size = digest.digest_size * 8
    return "".join(CROCKFORD[(bits >> (size - 5 * (k + 1))) & 31] for k in range(LENGTH))


def plan_lines(plan: Plan) -> Iterator[str]:
    """All that the reader makes in an edition, a line each, spelled out so that it outlives the code."""
    yield plan.system
    for info in plan.pieces:
        yield f"piece {info.id} {info.up}"
    for act in plan.acts:
        yield _act(act)
    for piece, history in sorted(plan.states.items()):
        yield from _piece(piece, history[-1][1])
        yield from (f"lies {piece} {act} {state.orientation.quarters} {state.orientation.over}" for act,
                    state in history)
    for name, size in sorted(plan.finish.items()):
        yield f"finish {name} {_number(size.value)}"


def step_lines(plan: Plan, step: int) -> Iterator[str]:
    """What the pictures of one step are drawn from: its acts, and its pieces as it leaves them."""
    acts = plan.acts_of(step)
    yield from map(_act, acts)
    numbers = {act.number for act in acts}
    for piece, history in sorted(plan.states.items()):
        states = [state for number, state in history if number in numbers]
        if states:
            yield f"lies {piece} {states[-1].orientation.quarters} {states[-1].orientation.over}"
            yield from _piece(piece, states[-1])


def _act(act: Act) -> str:
    return f"act {act.step} {act.verb} {act.pieces} {act.marks} {act.faces} {_detail(act.detail)}"


def _piece(piece: int, state: PieceState) -> Iterator[str]:
    yield f"outline {piece} " + " ".join(_stroke(rim.stroke) for rim in state.outline)
    yield from (f"hole {piece} " + " ".join(_stroke(rim.stroke) for rim in hole) for hole in state.holes)
    yield from map(_mark, state.marks)
    for fold in state.folds:
        yield f"fold {fold.mark} {fold.direction} {fold.angle} " + " ".join(map(_stroke, fold.runs))


def _detail(detail: object) -> str:
    """What an act says besides its marks; folds and what is removed are told by the state of the piece."""
    if isinstance(detail, Glue):
        return f"glue {[face.id for face in detail.target]} {detail.over} {detail.order}"
    if isinstance(detail, Seam):
        return f"seam {detail.pairs}"
    if isinstance(detail, Thread):
        return f"thread {_number(detail.ribbon.value) if detail.ribbon is not None else '-'}"
    return ""


def _mark(mark: Mark) -> str:
    set_at = " ".join(f"{_number(q.value)} {side}" for q, side in mark.positions)
    return f"mark {mark.id} {mark.verb} {mark.tool} {mark.step} {set_at} " + " ".join(map(_stroke, mark.runs))


def _stroke(stroke: Stroke) -> str:
    middle = stroke.at(0.5)
    ends = (*stroke.start, *middle, *stroke.end)
    return type(stroke).__name__ + ",".join(map(_number, ends))


def _number(value: SupportsFloat) -> str:
    return f"{round(float(value), HASHED_PLACES) + 0.0:.{HASHED_PLACES}f}"
