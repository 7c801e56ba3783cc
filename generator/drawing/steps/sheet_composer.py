"""Put the picture of a sheet together: its blanks, the lines of the cuts, their numbers, and what is left over."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from generator.drawing.lettering import LETTER_SIZE, SMALL_LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Label, Leader, Path, Role, Surface
from generator.drawing.picture_geometry import XY, Box, centred_box
from generator.drawing.recording import BADGE_DIAMETER, Recording, RecordingPen
from generator.drawing.steps.dual_measures import dual_measure, dual_size
from generator.drawing.steps.layout import MAX_PAPER_HEIGHT, PICTURE_MARGIN, PICTURE_WIDTH
from generator.drawing.steps.notes import OccupiedSpace
from generator.geometry import Line, Point
from generator.locale import ENGLISH, Locale
from generator.paper.cutting_instructions import drawn_direction_text
from generator.paper.sheet_layouts import Cut, Offcut, Placement, SheetLayout, StockSheet
from generator.units import length, size_text

CUT_NUMBER_MARGIN = BADGE_DIAMETER + 2.4        # mm beside the paper, for the numbers of the cuts
CAPTION_HEIGHT = 5.2                  # mm for a line of the caption
SHEET_PICTURE_MARGIN = 1.2                  # mm kept free at the picture's edge
NUMBER_DISTANCE = 5.2                  # mm from a line to a number that stands on the paper
LABEL_PADDING = 1.0                   # mm between words and the edge of what they stand on
NUMBER_POSITIONS = (0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.05, 0.95)     # of a line, where its number is tried


def sheet_size(sheet: StockSheet, locale: Locale = ENGLISH) -> str:
    """"210 × 297 mm": the size of a sheet, in inches where it is not of whole millimetres and inches say it exactly."""
    inches = size_text(sheet.width, sheet.height, "in", locale)
    whole = all(float(side).is_integer() for side in (sheet.width, sheet.height))
    about = inches.startswith(locale.say("grammar.about"))
    return size_text(sheet.width, sheet.height, "mm", locale) if whole or about else inches


@dataclass(frozen=True, slots=True)
class AreaLabel:
    """Words that stand on an area, and the box that they take."""

    labels: tuple[Label, ...]
    box: Box


class SheetComposer:
    """One picture. ``other`` is the layout of the other edition, which is cut alike; its measures stand beside ours."""

    def __init__(self, layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale = ENGLISH):
        self.layout, self.other, self.system, self.locale = layout, other, system, locale
        wide, high = float(layout.sheet.width), float(layout.sheet.height)
        self.scale = min((PICTURE_WIDTH - 2 * CUT_NUMBER_MARGIN) / wide, MAX_PAPER_HEIGHT / high)
        self.left, self.low = (PICTURE_WIDTH - wide * self.scale) / 2, CUT_NUMBER_MARGIN
        self.paper = Box(self.left, self.low, self.left + wide * self.scale, self.low + high * self.scale)
        self.caption = list(_caption(layout, locale))
        self.high = self.paper.y1 + CUT_NUMBER_MARGIN + CAPTION_HEIGHT * len(self.caption) + SHEET_PICTURE_MARGIN
        self.desk = OccupiedSpace(Box(PICTURE_MARGIN / 2, PICTURE_MARGIN / 2, PICTURE_WIDTH - PICTURE_MARGIN / 2, self.high - PICTURE_MARGIN / 2))
        self.desk.hard = [(p.start, p.end) for cut in layout.cuts for p in self._lines(cut)]
        self.desk.hard += [(p.start, p.end) for p in _outline(self.paper)]
        self.pen = RecordingPen()

    def draw(self) -> Recording:
        """Draw everything."""
        heads = list(self._heads())
        numbers = [mark for cut in self.layout.cuts for mark in self._number(cut)]
        names = list(self._names())
        spare = {offcut: self._spare_tag(offcut) for offcut in self.layout.offcuts}
        self.pen.begin("paper")
        self.pen.area((_outline(self.paper),), Surface.PLAIN)
        for offcut, tag in spare.items():
            self._offcut(offcut, tag)
        self.pen.begin("before")
        self.pen.stroke(_outline(self.paper), Role.EDGE, False)
        self.pen.begin("now")
        for cut in self.layout.cuts:
            for line in self._lines(cut):
                self.pen.stroke((line,), Role.CUT, True)
        self.pen.begin("notes")
        for mark in numbers:
            (self.pen.badge if isinstance(mark, Badge) else self.pen.leader)(mark)
        for label in (*heads, *names, *(label for tag in spare.values() if tag for label in tag.labels)):
            self.pen.label(label)
        self.pen.end()
        return self.pen.recording(PICTURE_WIDTH, round(self.high, 3))

    # -- where things lie ---------------------------------------------------

    def _point(self, x, y) -> Point:
        return Point(self.left + float(x) * self.scale, self.low + float(y) * self.scale)

    def _box(self, part: Placement | Offcut) -> Box:
        return Box(*self._point(part.x, part.y), *self._point(part.x + part.width, part.y + part.height))

    def _lines(self, cut: Cut) -> list[Line]:
        return [Line(self._point(*start), self._point(*end)) for start, end in cut.lines]

    def _offcut(self, offcut: Offcut, tag: AreaLabel | None) -> None:
        """Hatched, but for where its words stand."""
        loops = (_outline(self._box(offcut)),) + ((_outline(tag.box.grown(LABEL_PADDING / 2)),) if tag else ())
        self.pen.area(loops, Surface.REMOVED if offcut.selvedge else Surface.SPARE)

    # -- words --------------------------------------------------------------

    def _heads(self) -> Iterator[Label]:
        """The caption, from the top left."""
        for number, words in enumerate(self.caption):
            pair = DualText.plain(words)
            wide, high = text_block_size(pair, SMALL_LETTER_SIZE)
            at = Point(SHEET_PICTURE_MARGIN + wide / 2, self.high - SHEET_PICTURE_MARGIN - CAPTION_HEIGHT * (number + 0.5))
            self.desk.boxes.append(centred_box(at, wide, high))
            yield Label(pair, at, SMALL_LETTER_SIZE, quiet=True, align="start")

    def _names(self) -> Iterator[Label]:
        """One blank of each piece says its name and size; where there are several pieces, the others say their name."""
        told: set[str] = set()
        several = len(self.layout.counts) > 1
        for index, placement in enumerate(self.layout.placements):
            box, name = self._box(placement), DualText.plain(self.locale.name(placement.piece))
            found = self._full_name(index, box) if placement.piece not in told else None
            if found is not None:
                told.add(placement.piece)
            elif several:
                found = self._tag((name,), box, LETTER_SIZE) or self._tag((name,), box, SMALL_LETTER_SIZE)
            if found is not None:
                yield from self._take(found)
        if not several and not told:    # too small for a size: at least one says what they are
            for placement in self.layout.placements[:1]:
                found = self._tag((DualText.plain(self.locale.name(placement.piece)),), self._box(placement), SMALL_LETTER_SIZE)
                yield from self._take(found) if found else ()

    def _full_name(self, index: int, box: Box) -> AreaLabel | None:
        """"strip 252 × 139 mm", in one line for each system or with the name above; width before height as it is made."""
        placement = self.layout.placements[index]
        same = self.other.placements[index] if self.other else None
        sides = ("height", "width") if placement.turned else ("width", "height")
        size = dual_size(*(dual_measure(length(getattr(placement, side)), length(getattr(same, side)) if same else None, self.system, self.locale)
                         for side in sides))
        name = self.locale.name(placement.piece)
        joined = DualText(f"{name} {size.inch}", f"{name} {size.mm}")
        stacked = DualText.plain(self.locale.name(placement.piece)), size
        return self._tag((joined,), box, LETTER_SIZE) or self._tag(stacked, box, LETTER_SIZE) or self._tag(stacked, box, SMALL_LETTER_SIZE)

    def _spare_tag(self, offcut: Offcut) -> AreaLabel | None:
        """The size of an offcut, shorter side first, as the list says it."""
        index = self.layout.offcuts.index(offcut)
        sides = sorted((offcut.width, offcut.height))
        theirs = sorted((self.other.offcuts[index].width, self.other.offcuts[index].height)) if self.other else (None, None)
        words = dual_size(*(dual_measure(length(a), None if b is None else length(b), self.system, self.locale)
                          for a, b in zip(sides, theirs, strict=True)))
        tag = self._tag((words,), self._box(offcut), SMALL_LETTER_SIZE, quiet=True)
        if tag is not None:
            self.desk.boxes.append(tag.box)
        return tag

    def _tag(self, words: tuple[DualText, ...], box: Box, size: float, quiet: bool = False) -> AreaLabel | None:
        """Words below each other in the middle of an area, level or upright; None where there is no room."""
        blocks = [text_block_size(pair, size) for pair in words]
        wide, high = max(b[0] for b in blocks), sum(b[1] for b in blocks)
        for upright in (False, True):
            across, up = (high, wide) if upright else (wide, high)
            if across + 2 * LABEL_PADDING > box.width or up + 2 * LABEL_PADDING > box.height:
                continue
            for at in _label_middles(box, across, up):
                taken = centred_box(at, across, up)
                if self.desk.free(taken, strict=True):
                    return AreaLabel(tuple(_stacked_labels(words, [b[1] for b in blocks], taken, size, upright, quiet)), taken)
        return None

    def _take(self, tag: AreaLabel) -> tuple[Label, ...]:
        self.desk.boxes.append(tag.box)
        return tag.labels

    # -- numbers of the cuts ------------------------------------------------

    def _number(self, cut: Cut) -> Iterator[Badge | Leader]:
        """The number of a cut where one of its lines leaves the sheet, else beside a line with a leader."""
        for most in (0, 9):     # lines that the leader may cross: none, where there is such a place
            for line in self._lines(cut):
                for at, foot in (*self._outside(line), *_number_candidates(line)):
                    if self._has_room(at, foot, most):
                        self.desk.boxes.append(centred_box(at, BADGE_DIAMETER, BADGE_DIAMETER))
                        yield Badge(cut.step, Point(*at))
                        yield from self._led(at, foot) if foot is not None else ()
                        return

    def _has_room(self, at: XY, foot: XY | None, most: int) -> bool:
        if not self.desk.free(centred_box(at, BADGE_DIAMETER, BADGE_DIAMETER), strict=True):
            return False
        return foot is None or (self.desk.clear(at, foot) and self.desk.crossed(at, foot) <= most)

    def _led(self, at: XY, foot: XY) -> Iterator[Leader]:
        away = ((foot[0] - at[0]) ** 2 + (foot[1] - at[1]) ** 2) ** 0.5
        start = tuple(a + (f - a) / away * (BADGE_DIAMETER / 2) for a, f in zip(at, foot, strict=True))
        self.desk.hard.append((start, foot))
        yield Leader((Point(*start), Point(*foot)), on_line=True)

    def _outside(self, line: Line) -> Iterator[tuple[XY, None]]:
        """Beyond the ends of a line, where those lie on the edge of the sheet."""
        away = BADGE_DIAMETER / 2 + 1.0
        for x, y in (line.start, line.end):
            if line.start.x == line.end.x:
                if abs(y - self.paper.y0) < 1e-6:
                    yield (x, y - away), None
                elif abs(y - self.paper.y1) < 1e-6:
                    yield (x, y + away), None
            elif abs(x - self.paper.x0) < 1e-6:
                yield (x - away, y), None
            elif abs(x - self.paper.x1) < 1e-6:
                yield (x + away, y), None


def _number_candidates(line: Line) -> Iterator[tuple[XY, XY]]:
    """Places beside a line on the paper, each with the point of the line that it belongs to."""
    for share in NUMBER_POSITIONS:
        x, y = line.at(share)
        for by in (NUMBER_DISTANCE, -NUMBER_DISTANCE):
            yield ((x + by, y) if line.start.x == line.end.x else (x, y + by)), (x, y)


def _stacked_labels(words: tuple[DualText, ...], heights: list[float], box: Box, size: float, upright: bool,
             quiet: bool) -> Iterator[Label]:
    """Words from the top of a box down, or from its left where they are upright."""
    x, y = box.middle
    done = 0.0
    for pair, high in zip(words, heights, strict=True):
        middle = done + high / 2
        at = Point(box.x0 + middle, y) if upright else Point(x, box.y1 - middle)
        yield Label(pair, at, size, upright=upright, quiet=quiet)
        done += high


def _label_middles(box: Box, wide: float, high: float) -> Iterator[XY]:
    """The middle of an area, then places up and down and left and right of it."""
    x, y = box.middle
    across, up = (box.width - wide) / 2 - LABEL_PADDING, (box.height - high) / 2 - LABEL_PADDING
    for part in (0.0, 0.5, -0.5, 1.0, -1.0):
        for other in (0.0, 0.5, -0.5, 1.0, -1.0):
            yield x + other * across, y + part * up


def _outline(box: Box) -> Path:
    corners = [Point(box.x0, box.y0), Point(box.x1, box.y0), Point(box.x1, box.y1), Point(box.x0, box.y1)]
    return tuple(Line(corners[k], corners[(k + 1) % 4]) for k in range(4))


def _caption(layout: SheetLayout, locale: Locale) -> Iterator[str]:
    """The sheet, and how its grain lies in the picture."""
    name = layout.sheet.called(locale)
    yield name if layout.sheet.name[:1].isdigit() else f"{name}, {sheet_size(layout.sheet, locale)}"
    if lies := drawn_direction_text(layout, locale):
        yield lies
