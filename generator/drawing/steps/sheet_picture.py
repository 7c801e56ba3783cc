"""The front end that draws a sheet with its blanks, the cuts in their order, and what is left over."""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product

from generator.dataclass import dataclass, replace
from generator.drawing.lettering import LETTER_SIZE, SMALL_LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Label, Leader, Role, Surface
from generator.drawing.picture_geometry import XY, Box, centred_box, flattened, rectangle_path
from generator.drawing.recording import BADGE_DIAMETER, Recording, RecordingPen, label_box
from generator.drawing.steps.descriptions import CAPTION_LEADING, CAPTION_MARGIN, caption_label
from generator.drawing.steps.dual_measures import ListRow, dual_measure, dual_size, measure_row
from generator.drawing.steps.layout import MAX_PAPER_HEIGHT, PICTURE_MARGIN, PICTURE_WIDTH
from generator.drawing.steps.notes import OccupiedSpace
from generator.drawing.steps.step_picture import StepPicture, slug
from generator.geometry import Line, Point, Real
from generator.geometry.plane import floats
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.locale import ENGLISH, Locale
from generator.paper.cutting_instructions import (
    cutting_text,
    drawn_direction_text,
    offcut_html,
    offcut_speech,
    offcut_text,
    text_after_measure,
    text_before_measure,
)
from generator.paper.sheet_layouts import Cut, Offcut, Placement, SheetLayout, StockSheet
from generator.units import SYSTEMS, length, other_system, size_text

CUT_NUMBER_MARGIN = BADGE_DIAMETER + 2.4        # mm beside the paper, for the numbers of the cuts
NUMBER_DISTANCE = 5.2           # mm from a line to a number that stands on the paper
LABEL_PADDING = 1.0             # mm between words and the edge of what they stand on
MAX_CROSSINGS = 9               # lines that the leader of a number may cross where it cannot be avoided
# of a line, where its number is tried
NUMBER_POSITIONS = (0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.05, 0.95)


def sheet_pictures(drawn: SheetLayout, other: SheetLayout | None, system: str,
                   locale: Locale = ENGLISH) -> tuple[StepPicture, ...]:
    """The pictures of one sheet: one where both editions are cut alike, else one for each edition.

    ``drawn`` belongs to the edition in ``system`` ("mm" or "in"), ``other`` to
    the other one. Nothing is drawn of a layout that holds no blank.
    """
    if other is not None and other.placements and is_cut_alike(drawn, other):
        return (_picture(drawn, other, system, "", locale),)
    layouts = ((system, drawn), (other_system(system), other))
    return tuple(_picture(layout, None, own, f"-{own}", locale) for own, layout in layouts
                 if layout is not None and layout.placements)


def is_cut_alike(a: SheetLayout, b: SheetLayout) -> bool:
    """True when the two editions put the same blanks in the same places and are cut by the same settings."""
    return _cutting(a) == _cutting(b)


def _cutting(layout: SheetLayout) -> tuple[object, ...]:
    """What is alike where two editions are cut alike: all but the measures."""
    nothing = Fraction(0)
    cuts = [replace(cut, width=nothing, height=nothing, fence=nothing, lines=()) for cut in layout.cuts]
    return [(p.piece, p.turned) for p in layout.placements], cuts, len(layout.offcuts), layout.direction


# -- words --------------------------------------------------------------------

def sheet_size(sheet: StockSheet, locale: Locale = ENGLISH) -> str:
    """The size of a sheet, in inches where millimetres are not whole and inches exact."""
    inches = size_text(sheet.width, sheet.height, "in", locale)
    whole = all(float(side).is_integer() for side in (sheet.width, sheet.height))
    about = inches.startswith(locale.say("grammar.about"))
    return size_text(sheet.width, sheet.height, "mm", locale) if whole or about else inches


def _picture(layout: SheetLayout, other: SheetLayout | None, system: str, suffix: str,
             locale: Locale) -> StepPicture:
    recording = SheetComposer(layout, other, system, locale).draw()
    key = f"sheet-{slug(layout.sheet.title)}{suffix}"           # the same in every language
    return StepPicture(layout.sheet.called(locale), _title(layout, locale),
                       locale.say("drawing.sheet.is", size=sheet_size(layout.sheet, locale)),
                       _told(layout, other, system, locale), recording,
                       tuple(_rows(layout, other, system, locale)), key, "cutting", suffix.removeprefix("-"))


def _title(layout: SheetLayout, locale: Locale) -> str:
    """Such as "Sheet A4: 2 × base and 2 × lid"."""
    pieces = locale.join([f"{n} × {locale.name(piece)}" for piece, n in layout.counts.items()])
    return locale.say("drawing.sheet.title", sheet=layout.sheet.called(locale), pieces=pieces)


def _by_system(layout: SheetLayout, other: SheetLayout | None,
               system: str) -> Iterator[tuple[str, SheetLayout]]:
    """The layouts that a picture shows with their systems, millimetres first."""
    layouts = {system: layout, other_system(system): other}
    for each in SYSTEMS:
        if (found := layouts[each]) is not None:
            yield each, found


def _told(layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale) -> Mapping[str, str]:
    """Every setting and what is left over in sentences, by system."""
    told = {}
    for each, own in _by_system(layout, other, system):
        lines = [locale.say("drawing.sheet.cut", n=n, line=line)
                 for n, line in enumerate(cutting_text(own, each, locale), start=1)]
        if rest := offcut_text(own, each, locale):
            lines.append(locale.say("drawing.sheet.rest", sizes=rest))
        told[each] = " ".join([locale.say(f"drawing.told_{each}"), *lines])
    return told


def _rows(layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale) -> Iterator[ListRow]:
    """A row for every setting, and one for the offcuts."""
    for index, cut in enumerate(layout.cuts):
        same = length(other.cuts[index].fence) if other else None
        after = locale.say("paper.behind", after=text_after_measure(cut, locale))
        yield measure_row(cut.step, [dual_measure(length(cut.fence), same, system, locale)],
                          text_before_measure(cut, layout.cuts, locale), after)
    texts = {each: (offcut_text(own, each, locale), offcut_html(own, each, locale),
                    offcut_speech(own, each, locale))
             for each, own in _by_system(layout, other, system)}
    if any(text for text, _, _ in texts.values()):
        mm, inch = (texts.get(each, texts[system]) for each in SYSTEMS)
        yield ListRow(None, locale.say("drawing.sheet.left_over"), "", mm[0], inch[0], mm[1], inch[1], mm[2],
                      inch[2])


def _caption(layout: SheetLayout, locale: Locale) -> Iterator[str]:
    """The sheet, and how its grain lies in the picture."""
    name = layout.sheet.called(locale)
    yield name if layout.sheet.name[:1].isdigit() else f"{name}, {sheet_size(layout.sheet, locale)}"
    if direction := drawn_direction_text(layout, locale):
        yield direction


# -- drawing ------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class AreaLabel:
    """Words that stand on an area, and the box that they take."""

    labels: tuple[Label, ...]
    box: Box


class SheetComposer:
    """One picture.

    ``other`` is the layout of the other edition, which is cut alike; it shows the measures of both.
    """

    def __init__(self, layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale = ENGLISH):
        self.layout, self.other, self.system, self.locale = layout, other, system, locale
        width, height = float(layout.sheet.width), float(layout.sheet.height)
        self.scale = min((PICTURE_WIDTH - 2 * CUT_NUMBER_MARGIN) / width, MAX_PAPER_HEIGHT / height)
        self.left, self.low = (PICTURE_WIDTH - width * self.scale) / 2, CUT_NUMBER_MARGIN
        self.paper = Box(self.left, self.low, self.left + width * self.scale, self.low + height * self.scale)
        self.caption = list(_caption(layout, locale))
        self.height = (self.paper.y1 + CUT_NUMBER_MARGIN + CAPTION_LEADING * len(self.caption)
                       + CAPTION_MARGIN)
        lines = [line for cut in layout.cuts for line in self._lines(cut)]
        self.space = OccupiedSpace(Box(0.0, 0.0, PICTURE_WIDTH, self.height).grown(-PICTURE_MARGIN / 2))
        self.space.hard = list(flattened((*lines, *rectangle_path(self.paper))))
        self.pen = RecordingPen()

    def draw(self) -> Recording:
        """Draw everything."""
        captions = list(self._captions())
        numbers = [number for cut in self.layout.cuts if (number := self._number(cut)) is not None]
        names = list(self._names())
        spare = {offcut: self._offcut_label(offcut) for offcut in self.layout.offcuts}
        self.pen.begin("paper")
        self.pen.area((rectangle_path(self.paper),), Surface.PLAIN)
        for offcut, label in spare.items():
            self._offcut(offcut, label)
        self.pen.begin("before")
        self.pen.stroke(rectangle_path(self.paper), Role.EDGE, False)
        self.pen.begin("now")
        for cut in self.layout.cuts:
            for line in self._lines(cut):
                self.pen.stroke((line,), Role.CUT, True)
        self.pen.begin("notes")
        for badge, leader in numbers:
            self.pen.badge(badge)
            if leader is not None:
                self.pen.leader(leader)
        for text in (*captions, *names,
                     *(text for label in spare.values() if label for text in label.labels)):
            self.pen.label(text)
        self.pen.end()
        return self.pen.recording(PICTURE_WIDTH, round(self.height, 3))

    def _point(self, x: Real, y: Real) -> Point:
        return Point(self.left + float(x) * self.scale, self.low + float(y) * self.scale)

    def _box(self, part: Placement | Offcut) -> Box:
        corners = self._point(part.x, part.y), self._point(part.x + part.width, part.y + part.height)
        return Box(*floats(corners[0]), *floats(corners[1]))

    def _lines(self, cut: Cut) -> list[Line]:
        return [Line(self._point(*start), self._point(*end)) for start, end in cut.lines]

    def _offcut(self, offcut: Offcut, label: AreaLabel | None) -> None:
        """Hatched, but for where its words stand."""
        boxes = [self._box(offcut), *([label.box.grown(LABEL_PADDING / 2)] if label else ())]
        surface = Surface.REMOVED if offcut.selvedge else Surface.SPARE
        self.pen.area(tuple(map(rectangle_path, boxes)), surface)

    # -- labels -------------------------------------------------------------

    def _captions(self) -> Iterator[Label]:
        """The caption, from the top left."""
        for number, words in enumerate(self.caption):
            label = caption_label(words, CAPTION_MARGIN,
                                  self.height - CAPTION_MARGIN - CAPTION_LEADING * (number + 0.5))
            self.space.boxes.append(label_box(label))
            yield label

    def _names(self) -> Iterator[Label]:
        """One blank of each piece has its name and size; of several pieces the others have their name."""
        named: set[str] = set()
        several = len(self.layout.counts) > 1
        for index, placement in enumerate(self.layout.placements):
            box, name = self._box(placement), DualText.plain(self.locale.name(placement.piece))
            found = self._full_name(index, box) if placement.piece not in named else None
            if found is not None:
                named.add(placement.piece)
            elif several:
                found = self._area_label((name,), box, LETTER_SIZE, SMALL_LETTER_SIZE)
            yield from self._take(found)
        if not several and not named:    # too small for a size: at least one has its name
            first = self.layout.placements[0]
            name = DualText.plain(self.locale.name(first.piece))
            yield from self._take(self._area_label((name,), self._box(first), SMALL_LETTER_SIZE))

    def _full_name(self, index: int, box: Box) -> AreaLabel | None:
        """Such as "strip 252 × 139 mm", the name in the line or above it; width first as it is made."""
        placement = self.layout.placements[index]
        same = self.other.placements[index] if self.other else None
        sides, others = ((p.height, p.width) if placement.turned else (p.width, p.height)
                         for p in (placement, same or placement))
        size = self._dual_size(sides, others if same else None)
        name = self.locale.name(placement.piece)
        joined = DualText(f"{name} {size.inch}", f"{name} {size.mm}")
        return (self._area_label((joined,), box, LETTER_SIZE)
                or self._area_label((DualText.plain(name), size), box, LETTER_SIZE, SMALL_LETTER_SIZE))

    def _offcut_label(self, offcut: Offcut) -> AreaLabel | None:
        """The size of an offcut, shorter side first, as in the list."""
        same = self.other.offcuts[self.layout.offcuts.index(offcut)] if self.other else None
        others = sorted((same.width, same.height)) if same else None
        size = self._dual_size(sorted((offcut.width, offcut.height)), others)
        label = self._area_label((size,), self._box(offcut), SMALL_LETTER_SIZE, quiet=True)
        self._take(label)
        return label

    def _dual_size(self, sides: Sequence[Fraction], others: Sequence[Fraction] | None) -> DualText:
        """Two sides in this edition and, where it is cut alike, in the other."""
        measures = [dual_measure(length(side), length(others[k]) if others else None, self.system,
                                 self.locale)
                    for k, side in enumerate(sides)]
        return dual_size(*measures)

    def _area_label(self, words: tuple[DualText, ...], box: Box, *sizes: float,
                    quiet: bool = False) -> AreaLabel | None:
        """Words below each other on an area, in the first size that has room, horizontal or vertical."""
        for size, upright in product(sizes, (False, True)):
            blocks = [text_block_size(pair, size) for pair in words]
            extent = max(b[0] for b in blocks), sum(b[1] for b in blocks)
            for at in _label_middles(box, *(extent[::-1] if upright else extent)):
                taken = centred_box(at, *(extent[::-1] if upright else extent))
                if self.space.free(taken, strict=True):
                    labels = _stacked_labels(words, [b[1] for b in blocks], taken, size, upright, quiet)
                    return AreaLabel(tuple(labels), taken)
        return None

    def _take(self, label: AreaLabel | None) -> tuple[Label, ...]:
        """The labels of an area, whose box becomes occupied."""
        if label is None:
            return ()
        self.space.boxes.append(label.box)
        return label.labels

    # -- numbers of the cuts ------------------------------------------------

    def _number(self, cut: Cut) -> tuple[Badge, Leader | None] | None:
        """The number of a cut where one of its lines leaves the sheet, else beside a line with a leader."""
        for most in (0, MAX_CROSSINGS):
            for line in self._lines(cut):
                for at, foot in (*self._outside(line), *_number_candidates(line)):
                    box = centred_box(at, BADGE_DIAMETER, BADGE_DIAMETER)
                    led = foot is None or self.space.may_lead(at, foot, most)
                    if led and self.space.free(box, strict=True):
                        self.space.boxes.append(box)
                        return Badge(cut.step, Point(*at)), None if foot is None else self._leader(at, foot)
        return None

    def _leader(self, at: XY, foot: XY) -> Leader:
        share = BADGE_DIAMETER / 2 / math.dist(at, foot)
        start = at[0] + (foot[0] - at[0]) * share, at[1] + (foot[1] - at[1]) * share
        self.space.hard.append((start, foot))
        return Leader((Point(*start), Point(*foot)), on_line=True)

    def _outside(self, line: Line) -> Iterator[tuple[XY, None]]:
        """Beyond the ends of a line, where those lie on the edge of the sheet."""
        beyond = BADGE_DIAMETER / 2 + 1.0
        for x, y in (floats(line.start), floats(line.end)):
            vertical = line.start.x == line.end.x
            at, low, high = (y, self.paper.y0,
                             self.paper.y1) if vertical else (x, self.paper.x0, self.paper.x1)
            for edge, by in ((low, -beyond), (high, beyond)):
                if abs(at - edge) < PLACE_TOLERANCE:
                    yield ((x, y + by) if vertical else (x + by, y)), None


def _number_candidates(line: Line) -> Iterator[tuple[XY, XY]]:
    """Points beside a line on the paper, each with the point of the line that it belongs to."""
    for share in NUMBER_POSITIONS:
        x, y = floats(line.at(share))
        for by in (NUMBER_DISTANCE, -NUMBER_DISTANCE):
            yield ((x + by, y) if line.start.x == line.end.x else (x, y + by)), (x, y)


def _stacked_labels(words: tuple[DualText, ...], heights: list[float], box: Box, size: float, upright: bool,
             quiet: bool) -> Iterator[Label]:
    """Words from the top of a box down, or from its left where they are vertical."""
    x, y = box.middle
    done = 0.0
    for pair, height in zip(words, heights, strict=True):
        middle = done + height / 2
        at = Point(box.x0 + middle, y) if upright else Point(x, box.y1 - middle)
        yield Label(pair, at, size, upright=upright, quiet=quiet)
        done += height


def _label_middles(box: Box, width: float, height: float) -> Iterator[XY]:
    """The middle of an area, then points all round it; none where there is no room."""
    x, y = box.middle
    across, up = (box.width - width) / 2 - LABEL_PADDING, (box.height - height) / 2 - LABEL_PADDING
    if across >= 0 and up >= 0:
        for vertical, horizontal in product((0.0, 0.5, -0.5, 1.0, -1.0), repeat=2):
            yield x + horizontal * across, y + vertical * up
