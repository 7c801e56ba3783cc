"""Which part of a piece the picture shows: all of it, or the corner where the work is."""
from __future__ import annotations

from collections.abc import Iterable, Iterator

from generator.drawing.steps.boxes import Box, around, union
from generator.drawing.steps.measures import Measure, own_box
from generator.drawing.steps.paper_view import PaperView, polygon_loops
from generator.drawing.steps.step_segments import StepSegment
from generator.drawing.steps.view import View
from generator.geometry import Line, Point, Region, Stroke, inside
from generator.paper.records import Side
from generator.paper.work_kinds import Effect

GAIN = 1.7          # how much larger a part must become to be worth leaving the whole
ROUND = 0.35        # of the work's size, shown round it
LEAST = 8.0         # mm of paper shown round it at least
TOUCH = 1e-6        # mm of paper; a window this close to the paper's edge does not cut it
SMALLEST = 20.0     # mm of paper; less of a piece is never shown


def window_of(spell: StepSegment, sheet: PaperView, measures: Iterable[Measure], seen: View, wide: float, high: float) -> Box:
    """The part to show, as seen. ``wide`` and ``high`` are the mm of picture that the paper may take."""
    whole = sheet.box
    work = [*_work(spell, sheet, seen), *(_from_its_edge(m, whole) for m in measures)]
    if spell.makes_piece or not work:
        return whole
    part = _with_surroundings(union(work), whole)
    return part if _fit(part, wide, high) > GAIN * _fit(whole, wide, high) else whole


def _fit(box: Box, wide: float, high: float) -> float:
    return min(wide / max(box.width, 1e-6), high / max(box.height, 1e-6))


def _work(spell: StepSegment, sheet: PaperView, seen: View) -> Iterator[Box]:
    yield from _boxes((s for mark in spell.marks for s in mark.whole), seen)
    yield from _boxes((s for fold in spell.folds for s in fold.runs), seen)
    yield from (around(p for s in loop for p in (s.start, s.end)) for loop in sheet.removed)
    faces = [*spell.faces, *(f for g in spell.glues for f in (*g.faces, *g.target) if f.piece == spell.piece.id)]
    yield from _boxes((s for face in faces for s in face.outline), seen)
    for act in spell.acts:
        yield from _boxes((s for mark in spell.after.marks if mark.id in act.marks for s in mark.whole), seen)
        if act.effect in (Effect.GATHER, Effect.SEAM):
            yield seen.box(own_box(spell.after))


def _boxes(strokes: Iterable[Stroke], seen: View) -> Iterator[Box]:
    return (seen.box(Box(*map(float, stroke.bounds()))) for stroke in strokes)


def _from_its_edge(measure: Measure, whole: Box) -> Box:
    """The stretch that a measure runs over, so that the edge it counts from is shown."""
    low, high = measure.low, measure.high
    if measure.axis == "x":
        start = whole.x0 if measure.side is Side.LEFT else whole.x1
        return Box(min(start, measure.at), low, max(start, measure.at), high)
    start = whole.y0 if measure.side is Side.BOTTOM else whole.y1
    return Box(low, min(start, measure.at), high, max(start, measure.at))


def _with_surroundings(work: Box, whole: Box) -> Box:
    across = _stretched(work.x0, work.x1, whole.x0, whole.x1)
    up = _stretched(work.y0, work.y1, whole.y0, whole.y1)
    return Box(across[0], up[0], across[1], up[1])


def _stretched(low: float, high: float, least: float, most: float) -> tuple[float, float]:
    by = max((high - low) * ROUND, LEAST, (SMALLEST - (high - low)) / 2)
    return max(low - by, least), min(high + by, most)


class Clip:
    """Cuts what is drawn to the window, in coordinates as seen. ``whole`` is True where it would cut nothing."""

    def __init__(self, window: Box, whole: Box):
        self.window = window
        self.whole = whole.within(window)
        self._region = Region.rectangle(*window)

    def strokes(self, strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
        """The parts of strokes that the window shows."""
        return tuple(part for stroke in strokes for part in inside(stroke, self._region, keep_edge=True))

    def loops(self, area: Region) -> tuple[tuple[Stroke, ...], ...]:
        """The closed loops of the shown part of an area, as polygons."""
        return polygon_loops(area.polygon(0.05).intersection(self._region.polygon()))

    def breaks(self, region: Region) -> tuple[Stroke, ...]:
        """Where the window cuts through paper."""
        box, shown = self.window, []
        bounds = region.bounds()
        corners = [Point(box.x0, box.y0), Point(box.x1, box.y0), Point(box.x1, box.y1), Point(box.x0, box.y1)]
        cut = (box.y0 > bounds[1] + TOUCH, box.x1 < bounds[2] - TOUCH, box.y1 < bounds[3] - TOUCH,
               box.x0 > bounds[0] + TOUCH)
        for index, is_cut in enumerate(cut):
            if is_cut:
                shown += inside(Line(corners[index], corners[(index + 1) % 4]), region)
        return tuple(shown)
