"""The paper of a spell, as seen: what there was, what there is, and what went."""
from __future__ import annotations

from dataclasses import dataclass

from generator.drawing.steps.boxes import Box, union
from generator.drawing.steps.measures import first_state, own_box
from generator.drawing.steps.step_segments import StepSegment
from generator.drawing.steps.view import View
from generator.geometry import Line, Point, Region
from generator.paper.records import PieceInfo, PieceState, Plan

CHORD = 0.05    # mm of paper: by how much the edge of a removed area may leave its curve


@dataclass(frozen=True, slots=True)
class PaperView:
    """How the paper ``was`` and ``is``; ``box`` goes round both, ``removed`` are the closed loops of what goes.

    Boxes and loops are as seen.
    """

    was: PieceState
    now: PieceState
    box: Box
    removed: tuple[tuple[Line, ...], ...]


def sheet_of(spell: StepSegment, plan: Plan, seen: View, whole: bool = False) -> PaperView:
    """The paper of one spell; with ``whole`` only as it is in the end."""
    was = spell.after if whole else spell.before or first_state(spell, plan)
    removed = ()
    if spell.removes and not whole:
        removed = polygon_loops(region(was, seen).polygon(CHORD).difference(region(spell.after, seen).polygon(CHORD)))
    return PaperView(was, spell.after, union((seen.box(own_box(was)), seen.box(own_box(spell.after)))), removed)


def region(state: PieceState, view: View) -> Region:
    """The area of a piece, as a view shows it."""
    return Region(view.path(tuple(rim.stroke for rim in state.outline)),
                  tuple(view.path(tuple(rim.stroke for rim in hole)) for hole in state.holes))


def side_up(info: PieceInfo, state: PieceState) -> str:
    """"plain" or "printed": the side that is up as the piece lies."""
    other = {"plain": "printed", "printed": "plain"}
    return other.get(info.up, info.up) if state.orientation.over else info.up


def polygon_loops(shape) -> tuple[tuple[Line, ...], ...]:
    """Every ring of a polygon (or of several) as straight strokes."""
    loops = []
    for part in getattr(shape, "geoms", (shape,)):
        if part.geom_type == "Polygon" and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                corners = [Point(*c) for c in ring.coords[:-1]]
                ends = zip(corners, corners[1:] + corners[:1], strict=True)
                loops.append(tuple(Line(a, b) for a, b in ends if a != b))
    return tuple(loops)
