"""Paper that is folded flat lies in layers, and the layers can be: what is glued, folded and covered agrees.

Each flat fold, each glued face and the order of the folds says of two panels which lies on which. No circle
of panels may lie on each other, nothing may lie between two faces that are glued together, and a flap that
goes to the other side than all its fellows lies outside.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from generator.dataclass import dataclass
from generator.findings import Finding, finding
from generator.folding.closings import face_polygon
from generator.folding.piece_context import PieceContext, outward, printed_normal
from generator.folding.records import Hinge
from generator.folding.rigid_folding import MIN_FOLD_ANGLE, in_frame_of, overlap_share
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import FLAT_FOLD_ANGLE, MIN_OVERLAP_SHARE
from generator.paper.records import Act

MIN_FELLOWS = 2                 # flaps on the one side, against one on the other


@dataclass(frozen=True, slots=True, eq=False)
class _Layers:
    """``low`` lies under ``high`` along the normal of their stack, because of ``act``; ``by`` says how.

    "fold" where a hinge joins them, "glue", or "time" where ``high`` was folded onto ``low`` later.
    """

    low: int
    high: int
    act: Act
    by: str


def flat_layer_findings(context: PieceContext) -> Iterator[Finding]:
    """What is wrong with the layers of a piece: one finding for each circle, each glue, each flap."""
    if not context.closes() or not _all_folded(context):
        return
    hinges = [h for h in context.folded.flat.hinges
              if context.folded.angles[h.id] >= FLAT_FOLD_ANGLE and context.is_rigid(h.left)
              and context.is_rigid(h.right)]
    if not hinges:
        return
    yield from _flaps_outside(context, hinges)
    for stack in _stacks(context, hinges):
        rows = [*_by_folds(context, stack, hinges), *_by_glue(context, stack),
                *_by_time(context, stack, hinges)]
        yield from _circle_findings(context, rows)
        yield from _covered_glue_findings(context, stack, rows)


def _all_folded(context: PieceContext) -> bool:
    """Whether no fold has to stay flat for the rest to close: else the layers are not the meant ones."""
    return all(context.folded.angles[h.id] >= MIN_FOLD_ANGLE for h in context.folded.flat.hinges
               if context.is_rigid(h.left) and context.is_rigid(h.right))


def _stacks(context: PieceContext, hinges: Sequence[Hinge]) -> list[tuple[int, ...]]:
    """The panels that flat folds bring onto each other, each group with the panels glued into it."""
    group = {k: {k} for h in hinges for k in (h.left, h.right)}
    pairs = [(h.left, h.right) for h in hinges]
    pairs += [(s.panel, s.target_panel) for s in context.glued if s.panel in group or s.target_panel in group]
    for one, other in pairs:
        joined = group.get(one, {one}) | group.get(other, {other})
        for k in joined:
            group[k] = joined
    return list(dict.fromkeys(tuple(sorted(each)) for each in group.values()))


def _row(context: PieceContext, stack: Sequence[int], below: int, above: int, way: FloatArray, act: Act,
         by: str) -> _Layers:
    """``above`` lies on the side of ``below`` that ``way`` points to."""
    along = float(way @ context.folded.normal(stack[0])) > 0
    return _Layers(below, above, act, by) if along else _Layers(above, below, act, by)


def _by_folds(context: PieceContext, stack: Sequence[int], hinges: Sequence[Hinge]) -> Iterator[_Layers]:
    for hinge in hinges:
        if hinge.left in stack:
            way = hinge.bend.sign * context.folded.normal(hinge.left)
            yield _row(context, stack, hinge.left, hinge.right, way, context.act(hinge.bend.act), "fold")


def _by_glue(context: PieceContext, stack: Sequence[int]) -> Iterator[_Layers]:
    before: dict[int, list[int]] = defaultdict(list)
    for each in context.glued:
        if each.panel == each.target_panel or each.panel not in stack:
            continue
        if each.paired:
            if _overlap(context, each.panel, each.target_panel):
                way = printed_normal(context, each.target_panel) * (1 if each.over else -1)
                yield _row(context, stack, each.target_panel, each.panel, way, each.act, "glue")
            continue
        earlier = before[each.act.number] or [each.target_panel]
        for k in earlier:
            if _overlap(context, k, each.panel):
                yield _row(context, stack, k, each.panel, outward(context, k), each.act, "glue")
        before[each.act.number] = [*earlier, each.panel]


def _by_time(context: PieceContext, stack: Sequence[int], hinges: Sequence[Hinge]) -> Iterator[_Layers]:
    """Of two flaps of one panel on the same side of it, the one folded later lies farther out."""
    for panel in stack:
        own = [(h, h.other(panel), h.bend.sign) for h in hinges if panel in (h.left, h.right)]
        for one, low, side in own:
            for other, high, same in own:
                if one.bend.act < other.bend.act and side == same and _overlap(context, low, high):
                    yield _row(context, stack, low, high, side * context.folded.normal(panel),
                               context.act(other.bend.act), "time")


def _overlap(context: PieceContext, one: int, other: int) -> bool:
    return overlap_share(context.folded.flat, context.folded.frames, one, other) > MIN_OVERLAP_SHARE


def _circle_findings(context: PieceContext, rows: Sequence[_Layers]) -> Iterator[Finding]:
    """For each glue that contradicts the folds, itself and the fold that came too early."""
    reported = set()
    rest = [row for row in rows if row.by != "glue"]
    for glue in (row for row in rows if row.by == "glue" and row.act.number not in reported):
        way = _way(rest, glue.high, glue.low)
        if way is None:
            continue
        reported.add(glue.act.number)
        low, high = context.panel_name(glue.low), context.panel_name(glue.high)
        if low == high:
            low, high = "one panel", "the other"
        yield finding("flat-layers", glue.act.span,
                      f"glued so, {low} and {high} would have to lie the other way round: the folds put them "
                      "in another order", "change under and over or the order of gluing, or fold them in "
                                       "another order")
        for row in way:
            if row.by == "time":
                yield finding("flat-layers", row.act.span,
                              "what is folded here comes to lie on what was folded before, and line "
                              f"{glue.act.span.line} glues it the other way round",
                              "fold first what is to lie within")


def _way(rows: Sequence[_Layers], start: int, goal: int) -> list[_Layers] | None:
    """Rows that lead from one panel up to another; None where none do."""
    reached: dict[int, list[_Layers]] = {start: []}
    queue = [start]
    while queue:
        k = queue.pop(0)
        for row in rows:
            if row.low == k and row.high not in reached:
                reached[row.high] = [*reached[k], row]
                queue.append(row.high)
    return reached.get(goal)


def _covered_glue_findings(context: PieceContext, stack: Sequence[int],
                           rows: Sequence[_Layers]) -> Iterator[Finding]:
    """One finding for each statement that glues two faces with a third panel between them."""
    above = _closure(stack, rows)
    reported = set()
    for each in context.glued:
        one, other = each.panel, each.target_panel
        if not each.paired or one not in stack or other not in stack or each.act.number in reported:
            continue
        low, high = (one, other) if other in above[one] else (other, one)
        shape = face_polygon(each.face)
        for k in above[low]:
            if k in (one, other) or high not in above[k]:
                continue
            patch = in_frame_of(context.folded.flat, context.folded.frames, one, k, shape)
            if patch.intersection(
                    context.folded.flat.panels[k].polygon).area > MIN_OVERLAP_SHARE * shape.area:
                reported.add(each.act.number)
                yield finding("glue-apart", each.act.span,
                              f"between {context.panel_name(one)} and what it is glued to lies "
                              f"{context.panel_name(k)}",
                              "look at the directions of the folds that bring them there")
                break


def _closure(stack: Sequence[int], rows: Sequence[_Layers]) -> Mapping[int, set[int]]:
    """Panel → all panels that lie above it."""
    above: dict[int, set[int]] = {k: set() for k in stack}
    for row in rows:
        above[row.low].add(row.high)
    for middle in stack:
        for k in stack:
            if middle in above[k]:
                above[k] |= above[middle]
    return above


def _flaps_outside(context: PieceContext, hinges: Sequence[Hinge]) -> Iterator[Finding]:
    """A flap folded flat to the other side of its panel than all the others that hang there."""
    sides: dict[int, list[Hinge]] = defaultdict(list)
    count: dict[int, int] = defaultdict(int)
    for hinge in context.folded.flat.hinges:
        count[hinge.left] += 1
        count[hinge.right] += 1
    for hinge in hinges:
        for panel in (hinge.left, hinge.right):
            if count[hinge.other(panel)] == 1:
                sides[panel].append(hinge)
    for panel, own in sides.items():
        for sign in (1, -1):
            odd = [h for h in own if h.bend.sign == sign]
            if len(odd) == 1 and len(own) - 1 > MIN_FELLOWS - 1:
                yield finding("flap-outside", odd[0].bend.span,
                              f"this folds {context.panel_name(odd[0].other(panel))} to the other side than "
                              "the other flaps of its panel, so it comes to lie outside",
                              "fold it in the direction of the others")
