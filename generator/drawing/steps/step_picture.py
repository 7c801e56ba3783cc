"""The front end that draws what a step does to a piece of paper, and all of a finished blank.

A picture is composed from what is seen and where it lies, then drawn pass by pass with a recording pen.
"""
from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from itertools import pairwise

from generator.dataclass import dataclass, replace
from generator.drawing.lettering import DualText, text_block_size
from generator.drawing.pen import Badge, Label, Role
from generator.drawing.picture_geometry import Box, View, zoomed_view
from generator.drawing.recording import Recording, RecordingPen, badge_box, label_box, symbol_box
from generator.drawing.steps.assembly_symbols import (
    AssemblySymbols,
    assembly_symbols,
    seam_letter_label,
)
from generator.drawing.steps.descriptions import (
    PictureCaption,
    blank_description,
    blank_title,
    caption_labels,
    draw_inset,
    picture_caption,
    step_description,
    step_title,
    told_measures,
)
from generator.drawing.steps.dimensions import Measure, dimension_rows, piece_sizes, step_measures
from generator.drawing.steps.dual_measures import ListRow, dual_size
from generator.drawing.steps.layout import (
    PICTURE_MARGIN,
    PICTURE_WIDTH,
    PictureLayout,
    WindowClip,
    lay_out,
    raised_layout,
    window_of,
)
from generator.drawing.steps.notes import (
    Note,
    OccupiedSpace,
    add_obstacles,
    fits_inside,
    place_notes,
)
from generator.drawing.steps.scene import (
    RoleStrokes,
    StepCanvas,
    draw_paper,
    draw_punched_holes,
    step_strokes,
)
from generator.drawing.steps.segments import PaperView, StepSegment, paper_view, step_segments
from generator.drawing.steps.size_notes import size_notes
from generator.geometry.plane import floats
from generator.locale import ENGLISH, Locale
from generator.paper.records import Orientation, Plan
from generator.paper.work_kinds import Effect
from generator.units import memoised

NOTE_LINE_GAP = 1.6     # mm kept between lines of notes
MANY_PICTURES = 3      # of one step: from here on all are smaller (a quarter turn, the same score again)
MANY_SCALE = 0.36       # of the scale at which they would fit


class StepComposer:
    """One picture of a segment. ``whole`` is for the picture of a finished blank."""

    def __init__(self, drawn: Plan, other: Plan | None, segment: StepSegment, whole: bool = False,
                 locale: Locale = ENGLISH):
        self.drawn, self.other, self.segment, self.whole, self.locale = drawn, other, segment, whole, locale
        self.reader_view = View(segment.orientation)
        self.paper: PaperView = paper_view(segment, drawn, self.reader_view, whole)
        self.measures: tuple[Measure, ...] = tuple(
            measure.in_locale(locale)
            for measure in step_measures(segment, drawn, other, self.reader_view, whole))
        self.window = window_of(segment, self.paper, self.measures, self.reader_view)
        self.clip = WindowClip(self.window, self.paper.box)
        self.rows = dimension_rows(self.measures, self.paper.box if self.clip.whole else self.window)
        ordered = 0 if whole else sum(len(glue.faces) for glue in segment.glues if not glue.target)
        self.number = 1 + ordered       # of the first badge that belongs to the list
        self.layout: PictureLayout = lay_out(self.window, self.rows, self.number)
        self.caption: PictureCaption = picture_caption(segment, drawn, self.paper, not self.clip.whole,
                                                       self._size() if whole else None, locale)
        self.pen = RecordingPen()

    def reduce_to(self, scale: float) -> None:
        """Draw the paper at this scale, which is not larger than that at which it fits."""
        self.layout = lay_out(self.window, self.rows, self.number, scale)

    def draw(self) -> tuple[Recording, tuple[ListRow, ...]]:
        """Draw everything. Gives the recording and what it leaves to the list below the picture."""
        above, below = self._note_bands()
        floor = PICTURE_MARGIN + self.layout.below + below
        self.layout = raised_layout(self.layout, self.window, self.rows, floor, self.number)
        height = self.layout.paper.y1 + self.layout.above + above + self.caption.height
        frame = Box(0.0, 0.0, PICTURE_WIDTH, height)
        canvas = self._canvas()
        symbols = self._symbols(self._view(self.segment.orientation), canvas.base)
        self._draw_paper(canvas, symbols)
        low = PICTURE_MARGIN if below else self.layout.paper.y1 + self.layout.above
        space = OccupiedSpace(frame.grown(-PICTURE_MARGIN / 2), self.layout.paper,
                              note_strip=(low, low + max(above, below)))
        self._draw_inset(frame, space)
        self._draw_measures(space)
        noted = self._draw_notes(symbols, frame, space)
        listed = [row for _, drawing in self.layout.rows for row in drawing.rows]
        return self.pen.recording(PICTURE_WIDTH, round(height, 3)), (*listed, *noted)

    def _size(self) -> DualText:
        """How large the piece is; of a ribbon only how long."""
        width, height = piece_sizes(self.segment, self.drawn, self.other, first=False, locale=self.locale)
        return width.text() if self.segment.piece.is_ribbon else dual_size(width, height)

    @property
    def title(self) -> str:
        """The title of the picture."""
        return blank_title(self.segment, self.locale) if self.whole else step_title(self.segment, self.locale)

    @property
    def description(self) -> str:
        """The picture in sentences."""
        if self.whole:
            return blank_description(self.segment, self.locale)
        return step_description(self.segment, self.drawn, self.locale)

    @property
    def told(self) -> Mapping[str, str]:
        """Its measures in words, by system."""
        return told_measures(self.segment, self.drawn, self.other, self.measures, self.locale)

    def _view(self, orientation: Orientation) -> View:
        """Into the picture, from the own frame of a piece in this orientation."""
        return zoomed_view(orientation, self.layout.scale, self.layout.corner, self.layout.at)

    def _canvas(self) -> StepCanvas:
        if self.clip.whole:
            return StepCanvas(self.pen, self.clip, self._view(self.segment.orientation), None)
        return StepCanvas(self.pen, self.clip, self.reader_view, self._view(Orientation()))

    # -- room ---------------------------------------------------------------

    def _note_bands(self) -> tuple[float, float]:
        """Heights in mm kept free above and below for notes that find no room on the paper."""
        view = self._view(self.segment.orientation)
        loose = [note for note in self._all_notes(self._symbols(view, view), view) if not fits_inside(note)]
        if not loose:
            return PICTURE_MARGIN, 0.0
        lines, used, line_height = 1, 0.0, 0.0
        for note in loose:
            width, height = text_block_size(note.words)
            line_height = max(line_height, height)
            if used and used + width > PICTURE_WIDTH * 0.8:
                lines, used = lines + 1, 0.0
            used += width + 4 * PICTURE_MARGIN
        band = lines * (line_height + NOTE_LINE_GAP) + 5.0
        only_above = self.layout.above > 0.0 and self.layout.below == 0.0
        return (PICTURE_MARGIN, band) if only_above else (band, 0.0)

    def _symbols(self, view: View, base: View) -> AssemblySymbols:
        if self.whole:
            return AssemblySymbols()
        return assembly_symbols(self.segment, self.drawn, self.other, base, view, self.locale)

    def _all_notes(self, symbols: AssemblySymbols, view: View) -> list[Note]:
        return [*symbols.notes, *size_notes(self.segment, self.drawn, self.other, view, self.locale)]

    # -- passes -------------------------------------------------------------

    def _draw_paper(self, canvas: StepCanvas, symbols: AssemblySymbols) -> None:
        self.pen.begin("paper")
        area = draw_paper(canvas, self.segment, self.paper)
        for face, surface in symbols.areas:
            canvas.area(face, surface)
        lines = tuple(step_strokes(self.segment, self.paper, canvas.base, self.whole))
        for fresh, process in ((False, "before"), (True, "now")):
            self.pen.begin(process)
            for strokes in lines:
                if strokes.fresh is fresh:
                    canvas.strokes(strokes)
        for strokes in symbols.strokes:
            canvas.strokes(strokes)
        draw_punched_holes(canvas, self.segment)
        if not canvas.whole:
            canvas.strokes(RoleStrokes(Role.BREAK, False, self.clip.breaks(area)))
        self.pen.end()

    def _draw_inset(self, frame: Box, space: OccupiedSpace) -> None:
        if not self.caption.inset:
            return
        self.pen.begin("where")
        space.boxes.append(draw_inset(self.pen, self.caption, self.segment, self.paper, self.window, frame))
        self.pen.end()

    def _draw_measures(self, space: OccupiedSpace) -> None:
        self.pen.begin("measures")
        for _, drawing in self.layout.rows:
            for dimension in drawing.dimensions:
                self.pen.dimension(dimension)
                lines = (dimension.origin, dimension.stops[-1]), *dimension.extensions
                space.hard += (part for line in lines for part in pairwise(map(floats, line)))
            for label in drawing.labels:
                self._label(label, space)
            for badge in drawing.badges:
                self._badge(badge, space)
        self.pen.end()

    def _badge(self, badge: Badge, space: OccupiedSpace) -> None:
        self.pen.badge(badge)
        space.boxes.append(badge_box(badge))

    def _label(self, label: Label, space: OccupiedSpace) -> None:
        self.pen.label(label)
        space.boxes.append(label_box(label))

    def _draw_notes(self, symbols: AssemblySymbols, frame: Box, space: OccupiedSpace) -> list[ListRow]:
        """The caption, the symbols and the notes. Gives what they leave to the list."""
        self.pen.begin("notes")
        for item in caption_labels(self.caption, frame):
            if isinstance(item, Label):
                self._label(item, space)
            else:
                self.pen.symbol(item)
                space.boxes.append(symbol_box(item))
        for symbol in symbols.symbols:
            self.pen.symbol(symbol)
        for badge in symbols.badges:
            self._badge(badge, space)
        add_obstacles(self.pen.recording(frame.width, frame.height), space)
        for words, places in symbols.letters:
            labels = (seam_letter_label(words, place) for place in places)
            free = next((label for label in labels if space.free(label_box(label), strict=False)), None)
            if free is not None:
                self._label(free, space)
        notes = self._all_notes(symbols, self._view(self.segment.orientation))
        number = self.number + sum(len(drawing.badges) for _, drawing in self.layout.rows)
        placed = place_notes(notes, space, number)
        for leader in placed.leaders:
            self.pen.leader(leader)
        for badge in placed.badges:
            self.pen.badge(badge)
        for label in placed.labels:
            self.pen.label(label)
        self.pen.end()
        return placed.rows


@dataclass(frozen=True, slots=True)
class StepPicture:
    """One picture. ``key`` is unique in a tutorial; ``rows`` are printed below the picture.

    ``told`` are the sentences with measures that go on from ``description``, by system.
    """

    piece: str
    title: str
    description: str
    told: Mapping[str, str]
    recording: Recording
    rows: tuple[ListRow, ...]
    key: str
    kind: str = "step"          # "whole" for the picture of a finished blank, "cutting" for that of a sheet
    # the edition that alone it shows ("mm" or "in"), where each has a picture of its own
    system: str = ""


def step_pictures(drawn: Plan, other: Plan | None, step: int,
                  locale: Locale = ENGLISH) -> tuple[StepPicture, ...]:
    """The pictures of a step: one for each piece, one more each time it is turned between its work.

    All that show a whole piece are drawn to one scale, smaller where many show one deed again and again.
    """
    segments = list(step_segments(drawn, step))
    shown = [segment for segment in segments if not _is_only_threaded(segment)] or segments
    composers = [StepComposer(drawn, other, segment, locale=locale) for segment in shown]
    wholes = [composer for composer in composers if composer.clip.whole]
    if len(wholes) > 1:
        share = 1.0 if len(wholes) < MANY_PICTURES else MANY_SCALE
        scale = share * min(composer.layout.scale for composer in wholes)   # once: each reduction changes it
        for composer in wholes:
            composer.reduce_to(scale)
    pictures = []
    counts: Counter[int] = Counter()
    for segment, composer in zip(shown, composers, strict=True):
        counts[segment.piece.id] += 1
        count = counts[segment.piece.id]
        key = f"step-{step}-{slug(segment.piece.name)}" + (f"-{count}" if count > 1 else "")
        pictures.append(_drawn_picture(composer, key))
    return tuple(pictures)


def _is_only_threaded(segment: StepSegment) -> bool:
    """True for a ribbon that is only threaded or tied: it is shown on the piece that it goes through."""
    return segment.piece.is_ribbon and segment.does(Effect.THREAD, Effect.GATHER)


def slug(name: str) -> str:
    """A name for a key: lower-case letters, figures and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "piece"


@memoised(16)       # the page shows it, and the gallery and who shares it where nothing is folded
def overview_picture(drawn: Plan, other: Plan | None, piece: int, locale: Locale = ENGLISH) -> StepPicture:
    """All marks of a finished blank, as it lay at first, with every distance from its edges."""
    info = next(p for p in drawn.pieces if p.id == piece)
    state = drawn.state(piece)
    if state is None:
        raise ValueError(f"no statement makes the piece {info.name!r}")
    acts = tuple(act for act in drawn.acts if piece in act.pieces)
    as_made = replace(state, orientation=drawn.states[piece][0][1].orientation)
    composer = StepComposer(drawn, other, StepSegment(info, acts[-1].step, None, as_made, acts), whole=True,
                            locale=locale)
    return replace(_drawn_picture(composer, f"whole-{slug(info.name)}"), kind="whole")


def _drawn_picture(composer: StepComposer, key: str) -> StepPicture:
    recording, rows = composer.draw()
    return StepPicture(composer.segment.piece.name, composer.title, composer.description, composer.told,
                       recording, rows, key)
