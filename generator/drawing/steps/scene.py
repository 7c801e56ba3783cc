"""What lies on the table: the paper, the lines that were there, and those of this step."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from generator.drawing.pen import Pen, Role, Surface
from generator.drawing.picture_geometry import View, joined_paths
from generator.drawing.process_table import PROCESS_BY_KEY
from generator.drawing.steps.layout import PaperView, WindowClip, side_up, viewed_region
from generator.drawing.steps.segments import StepSegment
from generator.geometry import Circle, Line, Region, Stroke
from generator.paper.records import Fold, FoldDirection, Mark, PieceState

MIN_RUN_LENGTH = 1e-6     # mm of paper


@dataclass(frozen=True, slots=True)
class RoleStrokes:
    """Strokes of one meaning, as the stage's ``base`` view gives them."""

    role: Role
    fresh: bool
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class StepCanvas:
    """Draws strokes of a piece. ``base`` leads from its own frame into the picture.

    Where only a window of the piece is shown, ``base`` leads to what is seen;
    that is cut to the window, and ``then`` lays it into the picture.
    """

    pen: Pen
    clip: WindowClip
    base: View
    then: View | None

    @property
    def whole(self) -> bool:
        """True where nothing is cut."""
        return self.then is None

    def strokes(self, trace: RoleStrokes) -> None:
        """Each connected run as one path."""
        for path in joined_paths(trace.strokes if self.whole else self.clip.strokes(trace.strokes)):
            self.pen.stroke(path if self.whole else self.then.path(path), trace.role, trace.fresh)

    def area(self, area: Region, surface: Surface) -> None:
        """A filled area, if the window shows any of it."""
        loops = (area.outline, *area.holes) if self.whole else tuple(map(self.then.path, self.clip.loops(area)))
        if loops:
            self.pen.area(loops, surface)

    def hole(self, circle: Circle, fresh: bool) -> None:
        """A punched hole, if its middle is shown."""
        if self.whole:
            self.pen.hole(circle, fresh)
        elif self.clip.window.holds(circle.center):
            self.pen.hole(self.then.stroke(circle), fresh)


def draw_paper(stage: StepCanvas, segment: StepSegment, sheet: PaperView) -> Region:
    """The paper itself, and over it what goes. Gives the area."""
    area = viewed_region(sheet.was if segment.removes else sheet.now, stage.base)
    stage.area(area, upper_surface(segment))
    for loop in sheet.removed:
        lay = View() if not stage.whole else stage.base.after_turning()
        stage.area(Region(lay.path(loop)), Surface.REMOVED)
    return area


def upper_surface(segment: StepSegment) -> Surface:
    """The side of the paper that is up."""
    return Surface.PRINTED if side_up(segment.piece, segment.after) == "printed" else Surface.PLAIN


def step_strokes(segment: StepSegment, sheet: PaperView, base: View, whole: bool = False) -> Iterator[RoleStrokes]:
    """All lines: first the paper's edge, then what was there, then what this step makes."""
    yield RoleStrokes(Role.CUT if segment.makes_piece else Role.EDGE, segment.makes_piece,
                base.path(tuple(_earlier_edge(segment, sheet))))
    yield from _mark_strokes(segment.old_marks, segment, base, fresh=False)
    yield from _mark_strokes(segment.marks, segment, base, fresh=True)
    rims = () if whole else tuple(base.stroke(rim.stroke) for rim in _new_cut_edges(segment))
    if rims:
        yield RoleStrokes(Role.CUT, True, rims)


def _new_cut_edges(segment: StepSegment):
    """What this segment cuts of the outline, besides the piece's own first outline and single punched holes."""
    born = segment.piece.act if segment.makes_piece else None
    loops = (segment.after.outline, *(hole for hole in segment.after.holes if not _is_punched(hole)))
    return [rim for loop in loops for rim in loop if rim.act in segment.numbers and rim.act != born]


def _is_punched(hole: tuple) -> bool:
    return len(hole) == 1 and isinstance(hole[0].stroke, Circle)


def _earlier_edge(segment: StepSegment, sheet: PaperView) -> Iterator[Stroke]:
    """The edge as it was; where panels are hung on it, only what is still an edge."""
    state = sheet.now if segment.hangs_panels else sheet.was
    for loop in (state.outline, *state.holes):
        if not _is_punched(loop):
            yield from (rim.stroke for rim in loop if segment.makes_piece or rim.act not in segment.numbers)


def _mark_strokes(marks: Iterable[Mark], segment: StepSegment, base: View, fresh: bool) -> Iterator[RoleStrokes]:
    """Marks by what they mean now: a score that was folded is a mountain or a valley."""
    folds = _folds_by_mark(segment.after)
    strokes: dict[tuple[Role, bool], list[Stroke]] = defaultdict(list)
    for mark in marks:
        if mark.kind.is_hole:
            continue
        runs = base.path(mark.runs)
        for fold in folds.get(mark.id, ()):
            folded = base.path(fold.runs)
            strokes[fold_role(fold, segment), fresh or fold.act in segment.numbers] += folded
            runs = tuple(rest for run in runs for rest in unfolded_parts(run, folded))
        strokes[PROCESS_BY_KEY[mark.kind.process].role, fresh] += runs
    # what is fresh lies over what was there
    for role, now in sorted(strokes, key=lambda key: key[1]):
        if strokes[role, now]:
            yield RoleStrokes(role, now, tuple(strokes[role, now]))


def draw_punched_holes(stage: StepCanvas, segment: StepSegment) -> None:
    """Punched holes, old and new."""
    fresh = {mark.id for mark in segment.marks}
    for mark in segment.after.marks:
        if mark.kind.is_hole and mark.runs:
            stage.hole(stage.base.stroke(mark.whole[0]), mark.id in fresh)


def _folds_by_mark(state: PieceState) -> Mapping[int, list[Fold]]:
    """Folds by the mark they run along, the last one first."""
    found: dict[int, list[Fold]] = defaultdict(list)
    for fold in reversed(state.folds):
        found[fold.mark].append(fold)
    return found


def fold_role(fold: Fold, segment: StepSegment) -> Role:
    """A fold as the reader sees it: what is a mountain from the printed side is a valley from the plain one."""
    mountain = fold.direction is FoldDirection.MOUNTAIN
    if side_up(segment.piece, segment.after) == "plain":
        mountain = not mountain
    return Role.MOUNTAIN if mountain else Role.VALLEY


def unfolded_parts(run: Stroke, folded: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """What is left of a score where it is not folded. A curved score is folded whole or not at all."""
    if not isinstance(run, Line):
        return () if any(_same_ends(run, f) for f in folded) else (run,)
    dx, dy = run.end.x - run.start.x, run.end.y - run.start.y
    size = dx * dx + dy * dy
    parts, at = [], 0.0
    for low, high in sorted(_shares(run, folded, dx, dy, size)):
        if low > at + MIN_RUN_LENGTH:
            parts.append(run.part(at, low))
        at = max(at, high)
    if at < 1 - MIN_RUN_LENGTH:
        parts.append(run.part(at, 1))
    return tuple(parts)


def _shares(run: Line, folded: Iterable[Stroke], dx: float, dy: float, size: float) -> Iterator[tuple[float, float]]:
    for stroke in folded:
        if not isinstance(stroke, Line):
            continue
        offs = [(p.x - run.start.x, p.y - run.start.y) for p in (stroke.start, stroke.end)]
        if all(abs(dx * y - dy * x) < 1e-4 * size ** 0.5 for x, y in offs):
            low, high = sorted((dx * x + dy * y) / size for x, y in offs)
            if high > 0 and low < 1:
                yield max(low, 0.0), min(high, 1.0)


def _same_ends(a: Stroke, b: Stroke) -> bool:
    return any(abs(p.x - q.x) + abs(p.y - q.y) < 1e-4 and abs(r.x - s.x) + abs(r.y - s.y) < 1e-4
               for p, r, q, s in ((a.start, a.end, b.start, b.end), (a.start, a.end, b.end, b.start)))
