"""What a design states of itself: what it keeps, how large the box is, what closes, stands in it, is tied."""
from __future__ import annotations

from generator.paper.parameter_kinds import (
    Condition,
    Faces,
    Length,
    LimitArg,
    PieceArg,
    Pieces,
    TextArg,
    WayArg,
)
from generator.paper.patterns import members
from generator.paper.plan_builder import PlanBuilder
from generator.paper.records import Closure, Insertion, Tie
from generator.paper.values import ComparisonResult
from generator.units import Angle, Quantity, distinct_texts


def expect(builder: PlanBuilder, condition: Condition, limit: LimitArg | None = None, *,
           because: TextArg | None = None) -> None:
    """State what the design must keep; an edition in which it fails does not go out."""
    del limit       # regauging reads it from the source, and rounds a clearance away from what bounds it
    for truth in members(condition):
        if not truth.holds:
            reason = f", because {because}" if because else ""
            builder.report("expect-fails", f"{_failure_text(builder, truth)}{reason}",
                     "change a named length, or the requirement", at="condition")


COMPARISON_WORDS = {"<": "less than", "<=": "at most", ">": "more than", ">=": "at least",
                    "==": "the same as"}


def _failure_text(builder: PlanBuilder, truth: ComparisonResult) -> str:
    """What does not hold, and that it must: 10 mm is not more than 30 mm, and it must be."""
    if truth.left is None:
        return "this does not hold, and it must"
    left, right = _compared_texts(builder, truth.left, truth.right)
    if left == right:       # only what is the same is worded alike
        must = ("they must differ" if truth.sign == "!=" else
                f"the first must be {COMPARISON_WORDS[truth.sign]} the second")
        return f"both sides come to {left}, and {must}"
    return f"{left} is not {COMPARISON_WORDS[truth.sign]} {right}, and it must be"


def _compared_texts(builder: PlanBuilder, left: object, right: object) -> tuple[str, ...]:
    measures = [each for each in (left, right)
                if isinstance(each, Angle) or isinstance(each, Quantity) and 0 <= each.power <= 3]
    if len(measures) == 2:
        return distinct_texts(measures, builder.system)
    return tuple(str(getattr(each, "value", each)) for each in (left, right))


def finish(builder: PlanBuilder, *, width: Length | None = None, height: Length | None = None,
           depth: Length | None = None) -> None:
    """State the size of the finished box; the page shows it and every edition keeps it in mind."""
    for name, size in (("width", width), ("depth", depth), ("height", height)):
        if size is not None:
            builder.finish[name] = size
            builder.finish_at[name] = builder.span_of_parameter(name)


def close(builder: PlanBuilder, faces: Faces, *, over: Faces | None = None,
          behind: Faces | None = None) -> None:
    """State what closes the box: a lid comes to lie over a floor or pocket, a tuck behind a wall."""
    onto = over if over is not None else behind
    if onto is None or (over is not None and behind is not None):
        builder.refuse("call-parameter", "what closes lies either over something or behind it",
                       "write over=… for a lid, behind=… for a tuck")
    flaps, target = members(faces), members(onto)
    if not flaps or not target:
        builder.refuse("call-missing", "no face is named here, for none of the piece has been named",
                       "name one with faces(…) first")
    if len(target) > 1 and len(target) != len(flaps):
        builder.refuse("group-sizes",
                       f"as many faces close as they close on, and here are {len(flaps)} and {len(target)}",
                       "name as many, or a single one")
    builder.closures.append(Closure(flaps, target, behind is not None, builder.step, builder.span))


def insert(builder: PlanBuilder, pieces: Pieces, *, into: PieceArg, crossing: Pieces | None = None) -> None:
    """State what stands in a box: dividers upright as they lie, those ``crossing`` them slot into slot.

    No piece stands in itself, or twice.
    """
    along, across = members(pieces), members(crossing) if crossing is not None else ()
    ids = [piece.id for piece in (*along, *across, into)]
    if len(set(ids)) < len(ids):
        builder.refuse("call-kind", "a piece stands in another one, and only once",
                       "name each piece once, and the box behind into=")
    builder.insertions.append(Insertion(tuple(piece.id for piece in along),
                                        tuple(piece.id for piece in across), into.id, builder.span))


def tie(builder: PlanBuilder, ribbon: PieceArg, *, around: Pieces, way: WayArg | None = None) -> None:
    """State what a ribbon is tied round, half-way up its sides, or both ways over the top (crosswise)."""
    if not builder.info(ribbon).is_ribbon:
        builder.refuse("call-kind", "only a ribbon is tied", "make it with ribbon(length=…)", at="ribbon")
    builder.ties.append(Tie(ribbon.id, tuple(piece.id for piece in members(around)),
                            way is not None, builder.span))
