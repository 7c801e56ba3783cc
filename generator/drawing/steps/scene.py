"""Drawing the paper of a step: the sheet itself, the lines that were there, and those of this step."""
from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from generator.dataclass import dataclass
from generator.drawing.paper_colours import side_colour
from generator.drawing.pen import Pen, Role, Surface
from generator.drawing.picture_geometry import View, joined_paths
from generator.drawing.process_table import PROCESS_BY_KEY
from generator.drawing.steps.layout import WindowClip
from generator.drawing.steps.segments import PaperView, StepSegment, viewed_region
from generator.geometry import Circle, Line, Region, Stroke
from generator.geometry.plane import floats
from generator.geometry.tolerances import DRAWN_PLACE_TOLERANCE, MIN_SCORE_SHARE
from generator.paper.records import Fold, FoldDirection, Mark, OutlineStroke, PieceState


@dataclass(frozen=True, slots=True)
class RoleStrokes:
    """Strokes of one role, as the canvas's ``base`` view gives them."""

    role: Role
    fresh: bool
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class StepCanvas:
    """Draws strokes of a piece. ``base`` maps its own frame into the picture.

    Where only a window of the piece is shown, ``base`` maps it to coordinates
    as seen; these are clipped to the window, and ``then`` maps them into the
    picture.
    """

    pen: Pen
    clip: WindowClip
    base: View
    then: View | None

    @property
    def whole(self) -> bool:
        """True where nothing is clipped."""
        return self.then is None

    def strokes(self, strokes: RoleStrokes) -> None:
        """Each connected run as one path."""
        shown = strokes.strokes if self.then is None else self.clip.strokes(strokes.strokes)
        for path in joined_paths(shown):
            self.pen.stroke(path if self.then is None else self.then.path(path), strokes.role, strokes.fresh)

    def area(self, area: Region, surface: Surface, colour: str = "") -> None:
        """A filled area, if the window shows any of it."""
        loops = ((area.outline, *area.holes) if self.then is None
                 else tuple(map(self.then.path, self.clip.loops(area))))
        if loops:
            self.pen.area(loops, surface, colour)

    def hole(self, circle: Circle, fresh: bool) -> None:
        """A punched hole, if its centre is shown."""
        if self.then is None:
            self.pen.hole(circle, fresh)
        elif self.clip.window.holds(circle.center):
            self.pen.hole(self.then.circle(circle), fresh)


def draw_paper(canvas: StepCanvas, segment: StepSegment, paper: PaperView) -> Region:
    """The paper itself, and over it what goes. Gives the area."""
    area = viewed_region(paper.before if segment.removes else paper.after, canvas.base)
    canvas.area(area, upper_surface(segment), side_colour(segment.piece, segment.side_up))
    view = canvas.base.after_turning() if canvas.whole else View()
    for loop in paper.removed:
        canvas.area(Region(view.path(loop)), Surface.REMOVED)
    return area


def upper_surface(segment: StepSegment) -> Surface:
    """The side of the paper that is up."""
    return Surface.PRINTED if segment.side_up == "printed" else Surface.PLAIN


def step_strokes(segment: StepSegment, paper: PaperView, base: View,
                 whole: bool = False) -> Iterator[RoleStrokes]:
    """All lines: first the paper's edge, then what was there, then what this step makes."""
    yield RoleStrokes(Role.CUT if segment.makes_piece else Role.EDGE, segment.makes_piece,
                      base.path(tuple(_earlier_edge(segment, paper))))
    yield from _mark_strokes(segment.old_marks, segment, base, fresh=False)
    yield from _mark_strokes(segment.marks, segment, base, fresh=True)
    rims = () if whole else tuple(base.stroke(rim.stroke) for rim in _new_cut_edges(segment))
    if rims:
        yield RoleStrokes(Role.CUT, True, rims)


def _new_cut_edges(segment: StepSegment) -> list[OutlineStroke]:
    """What this segment cuts of the outline, without the first outline and single punched holes."""
    making = segment.piece.act if segment.makes_piece else None
    loops = (segment.after.outline, *(hole for hole in segment.after.holes if not _is_punched(hole)))
    return [rim for loop in loops for rim in loop if rim.act in segment.numbers and rim.act != making]


def _is_punched(hole: tuple[OutlineStroke, ...]) -> bool:
    return len(hole) == 1 and isinstance(hole[0].stroke, Circle)


def _earlier_edge(segment: StepSegment, paper: PaperView) -> Iterator[Stroke]:
    """The edge as it was; where panels are attached to it, only what is still an edge."""
    state = paper.after if segment.attaches_panels else paper.before
    for loop in (state.outline, *state.holes):
        if not _is_punched(loop):
            yield from (rim.stroke for rim in loop if segment.makes_piece or rim.act not in segment.numbers)


def _mark_strokes(marks: Iterable[Mark], segment: StepSegment, base: View,
                  fresh: bool) -> Iterator[RoleStrokes]:
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
        strokes[PROCESS_BY_KEY[mark.kind.process].line, fresh] += runs
    # what is fresh lies over what was there
    for role, now in sorted(strokes, key=lambda key: key[1]):
        if strokes[role, now]:
            yield RoleStrokes(role, now, tuple(strokes[role, now]))


def draw_punched_holes(canvas: StepCanvas, segment: StepSegment) -> None:
    """Punched holes, old and new."""
    fresh = {mark.id for mark in segment.marks}
    for mark in segment.after.marks:
        if mark.kind.is_hole and mark.runs and isinstance(hole := mark.whole[0], Circle):
            canvas.hole(canvas.base.circle(hole), mark.id in fresh)


def _folds_by_mark(state: PieceState) -> Mapping[int, list[Fold]]:
    """Folds by the mark they run along, the last one first."""
    found: dict[int, list[Fold]] = defaultdict(list)
    for fold in reversed(state.folds):
        found[fold.mark].append(fold)
    return found


def fold_role(fold: Fold, segment: StepSegment) -> Role:
    """A fold as the reader sees it: a mountain from the printed side is a valley from the plain one."""
    mountain = fold.direction is FoldDirection.MOUNTAIN
    if segment.side_up == "plain":
        mountain = not mountain
    return Role.MOUNTAIN if mountain else Role.VALLEY


def unfolded_parts(run: Stroke, folded: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """What is left of a score where it is not folded. A curved score is folded whole or not at all."""
    if not isinstance(run, Line):
        return () if any(_same_ends(run, f) for f in folded) else (run,)
    parts, at = [], 0.0
    for low, high in sorted(_shares(run, folded)):
        if low > at + MIN_SCORE_SHARE:
            parts.append(run.part(at, low))
        at = max(at, high)
    if at < 1 - MIN_SCORE_SHARE:
        parts.append(run.part(at, 1))
    return tuple(parts)


def _shares(run: Line, folded: Iterable[Stroke]) -> Iterator[tuple[float, float]]:
    """From where to where collinear strokes cover a run, in shares of its length."""
    (x0, y0), (x1, y1) = floats(run.start), floats(run.end)
    dx, dy = x1 - x0, y1 - y0
    square = dx * dx + dy * dy
    for stroke in folded:
        if not isinstance(stroke, Line):
            continue
        offsets = [(x - x0, y - y0) for x, y in (floats(stroke.start), floats(stroke.end))]
        if all(abs(dx * y - dy * x) < DRAWN_PLACE_TOLERANCE * square ** 0.5 for x, y in offsets):
            low, high = sorted((dx * x + dy * y) / square for x, y in offsets)
            if high > 0 and low < 1:
                yield max(low, 0.0), min(high, 1.0)


def _same_ends(a: Stroke, b: Stroke) -> bool:
    (p, q), (r, s) = ((floats(stroke.start), floats(stroke.end)) for stroke in (a, b))
    return any(math.dist(p, first) < DRAWN_PLACE_TOLERANCE and math.dist(q, last) < DRAWN_PLACE_TOLERANCE
               for first, last in ((r, s), (s, r)))
