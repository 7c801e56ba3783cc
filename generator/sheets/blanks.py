"""The blanks that a plan is made from."""
from __future__ import annotations

from collections.abc import Mapping

from generator.paper.records import Paper, PieceInfo, PieceState, Plan
from generator.paper.sheet_layouts import Blank
from generator.units import Quantity

GROWS = "attach"    # the verb that makes a piece larger after it was begun
NEAR = 1e-6         # mm


def blanks_of(plan: Plan) -> Mapping[str, tuple[Blank, ...]]:
    """The blanks of every piece that is cut from paper, by the name of the paper ("" for pieces that name none).

    A sheet is of one paper, so the blanks of each are cut together. Ribbons
    are not cut from sheets, and what comes out of a scrap needs none.
    """
    found: dict[str, list[Blank]] = {}
    for piece in plan.pieces:
        if not piece.is_ribbon and piece.out_of is None and piece.id in plan.states:
            found.setdefault(piece.paper.name if piece.paper else "", []).append(blank_of(plan, piece))
    return {name: tuple(blanks) for name, blanks in found.items()}


def blank_of(plan: Plan, piece: PieceInfo) -> Blank:
    """The rectangle that a piece is made from: as it was begun, or when its last panel was attached."""
    state = _uncut(plan, piece)
    return Blank(piece.name, state.width, state.height,
                 direction=direction_of(piece.paper, state.width, state.height),
                 runs="pattern" if piece.paper and piece.paper.one_way else "grain", bounding=not _is_rectangle(state))


def direction_of(paper: Paper | None, width: Quantity, height: Quantity) -> str | None:
    """The side of a piece ("x" its width, "y" its height) that runs with the grain, or up the pattern; None for either.

    A one-way pattern stands upright on every piece as it first lies. Grain
    "along" runs along the longer side of the piece ("x" in a square), "across" across it.
    """
    if paper is None:
        return None
    if paper.one_way:
        return "y"
    if paper.grain not in ("along", "across"):
        return None
    upright = height.value > width.value
    return "y" if upright == (paper.grain == "along") else "x"


def _uncut(plan: Plan, piece: PieceInfo) -> PieceState:
    verbs = {act.number: act.verb for act in plan.acts}
    states = plan.states[piece.id]
    return next((state for act, state in reversed(states) if verbs[act] == GROWS), states[0][1])


def _is_rectangle(state: PieceState) -> bool:
    strokes = [rim.stroke for rim in state.outline]
    return len(strokes) == 4 and all(abs(float(s.start.x) - float(s.end.x)) < NEAR
                                     or abs(float(s.start.y) - float(s.end.y)) < NEAR for s in strokes)
