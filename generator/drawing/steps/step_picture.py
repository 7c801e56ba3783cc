"""Put one picture together: what is seen, where it lies, then pass by pass with a recording pen.

The front end that draws what a step does to a piece of paper.
"""
from __future__ import annotations

import re
from dataclasses import dataclass, replace

from generator.drawing.lettering import DualText, text_block_size
from generator.drawing.pen import Badge, Label, Role
from generator.drawing.picture_geometry import Box, View, zoomed_view
from generator.drawing.recording import Recording, RecordingPen, badge_box, label_box, symbol_box
from generator.drawing.steps.assembly_symbols import (
    AssemblySymbols,
    assembly_symbols,
    seam_letter_box,
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
)
from generator.drawing.steps.dimensions import Measure, dimension_rows, piece_sizes, step_measures
from generator.drawing.steps.dual_measures import ListRow, dual_size
from generator.drawing.steps.layout import (
    MAX_PAPER_HEIGHT,
    PICTURE_MARGIN,
    PICTURE_WIDTH,
    PaperView,
    PictureLayout,
    WindowClip,
    lay_out,
    paper_view,
    raised_layout,
    window_of,
)
from generator.drawing.steps.notes import (
    Note,
    OccupiedSpace,
    add_obstacles,
    dimension_segments,
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
from generator.drawing.steps.segments import StepSegment, step_segments
from generator.drawing.steps.size_notes import size_notes
from generator.locale import ENGLISH, Locale
from generator.paper.records import Orientation, Plan
from generator.paper.work_kinds import Effect

NOTE_LINE_GAP = 1.6     # mm kept between lines of notes


class StepComposer:
    """One picture of a segment. ``whole`` is for the picture of a finished blank."""

    def __init__(self, drawn: Plan, other: Plan | None, segment: StepSegment, whole: bool = False,
                 locale: Locale = ENGLISH):
        self.drawn, self.other, self.segment, self.whole, self.locale = drawn, other, segment, whole, locale
        self.seen = View(segment.orientation)
        self.sheet: PaperView = paper_view(segment, drawn, self.seen, whole)
        self.measures: tuple[Measure, ...] = tuple(
            m.told_in(locale) for m in step_measures(segment, drawn, other, self.seen, whole))
        self.window = window_of(segment, self.sheet, self.measures, self.seen, PICTURE_WIDTH, MAX_PAPER_HEIGHT)
        self.in_rows = dimension_rows(self.measures, self.sheet.box)
        ordered = 0 if whole else sum(len(glue.faces) for glue in segment.glues if not glue.target)
        self.number = 1 + ordered       # of the first badge that belongs to the list
        self.layout: PictureLayout = lay_out(self.window, self.in_rows, self.number)
        self.clip = WindowClip(self.window, self.sheet.box)
        self.head: PictureCaption = picture_caption(segment, self.sheet, not self.clip.whole, self._size() if whole else None, locale)
        self.pen = RecordingPen()
        self.rows: list[ListRow] = []

    def draw(self) -> tuple[Recording, tuple[ListRow, ...]]:
        """Draw everything. Gives the recording and what it leaves to the list below the picture."""
        above, below = self._bands()
        floor = PICTURE_MARGIN + self.layout.below + below
        self.layout = raised_layout(self.layout, self.window, self.in_rows, floor, self.number)
        self.rows = [row for _, laid in self.layout.laid for row in laid.rows]
        height = self.layout.paper.y1 + self.layout.above + above + self.head.height
        frame = Box(0.0, 0.0, PICTURE_WIDTH, height)
        stage = self._stage()
        deeds = self._deeds(self._view(self.segment.orientation), stage.base)
        self._paper(stage, deeds)
        desk = OccupiedSpace(Box(PICTURE_MARGIN / 2, PICTURE_MARGIN / 2, PICTURE_WIDTH - PICTURE_MARGIN / 2, height - PICTURE_MARGIN / 2))
        low = PICTURE_MARGIN if below else self.layout.paper.y1 + self.layout.above
        desk.shelf = (low, low + max(above, below))
        self._inset(frame, desk)
        self._measures(desk)
        self._notes(deeds, frame, desk)
        return self.pen.recording(PICTURE_WIDTH, round(height, 3)), tuple(self.rows)

    def _size(self) -> DualText:
        """How large the piece is; of a ribbon only how long."""
        wide, high = piece_sizes(self.segment, self.drawn, self.other, first=False, locale=self.locale)
        return wide.pair() if self.segment.piece.is_ribbon else dual_size(wide, high)

    @property
    def title(self) -> str:
        return blank_title(self.segment, self.locale) if self.whole else step_title(self.segment, self.locale)

    @property
    def description(self) -> str:
        tell = blank_description if self.whole else step_description
        return tell(self.segment, self.drawn, self.other, self.measures, self.locale)

    def _view(self, orientation: Orientation) -> View:
        """Into the picture, from the own frame of a piece that lies so."""
        return zoomed_view(orientation, self.layout.scale, self.layout.corner, self.layout.at)

    def _stage(self) -> StepCanvas:
        if self.clip.whole:
            return StepCanvas(self.pen, self.clip, self._view(self.segment.orientation), None)
        return StepCanvas(self.pen, self.clip, self.seen, self._view(Orientation()))

    # -- room ---------------------------------------------------------------

    def _bands(self) -> tuple[float, float]:
        """mm kept free above and below for notes that find no room on the paper."""
        view = self._view(self.segment.orientation)
        loose = [note for note in self._all_notes(self._deeds(view, view), view) if not fits_inside(note)]
        if not loose:
            return PICTURE_MARGIN, 0.0
        lines, used, high = 1, 0.0, 0.0
        for note in loose:
            wide, tall = text_block_size(note.words)
            high = max(high, tall)
            if used and used + wide > PICTURE_WIDTH * 0.8:
                lines, used = lines + 1, 0.0
            used += wide + 4 * PICTURE_MARGIN
        band = lines * (high + NOTE_LINE_GAP) + 5.0
        top_taken = self.layout.above > 0.0
        return (PICTURE_MARGIN, band) if top_taken and self.layout.below == 0.0 else (band, 0.0)

    def _deeds(self, view: View, base: View) -> AssemblySymbols:
        return AssemblySymbols() if self.whole else assembly_symbols(self.segment, self.drawn, self.other, base, view, self.locale)

    def _all_notes(self, deeds: AssemblySymbols, view: View) -> list[Note]:
        return [*deeds.notes, *size_notes(self.segment, self.drawn, self.other, view, self.locale)]

    # -- passes -------------------------------------------------------------

    def _paper(self, stage: StepCanvas, deeds: AssemblySymbols) -> None:
        self.pen.begin("paper")
        area = draw_paper(stage, self.segment, self.sheet)
        for face, surface in deeds.areas:
            stage.area(face, surface)
        lines = tuple(step_strokes(self.segment, self.sheet, stage.base, self.whole))
        for fresh, process in ((False, "before"), (True, "now")):
            self.pen.begin(process)
            for trace in lines:
                if trace.fresh is fresh:
                    stage.strokes(trace)
        for trace in deeds.traces:
            stage.strokes(trace)
        draw_punched_holes(stage, self.segment)
        if not stage.whole:
            stage.strokes(RoleStrokes(Role.BREAK, False, self.clip.breaks(area)))
        self.pen.end()

    def _inset(self, frame: Box, desk: OccupiedSpace) -> None:
        if not self.head.inset:
            return
        self.pen.begin("where")
        desk.boxes.append(draw_inset(self.pen, self.head, self.segment, self.sheet, self.window, frame))
        self.pen.end()

    def _measures(self, desk: OccupiedSpace) -> None:
        self.pen.begin("measures")
        for _, laid in self.layout.laid:
            for dimension in laid.dimensions:
                self.pen.dimension(dimension)
                desk.hard += dimension_segments(dimension)
            for label in laid.labels:
                self._label(label, desk)
            for badge in laid.badges:
                self._badge(badge, desk)
        self.pen.end()

    def _badge(self, badge: Badge, desk: OccupiedSpace) -> None:
        self.pen.badge(badge)
        desk.boxes.append(badge_box(badge))

    def _label(self, label: Label, desk: OccupiedSpace) -> None:
        self.pen.label(label)
        desk.boxes.append(label_box(label))

    def _notes(self, deeds: AssemblySymbols, frame: Box, desk: OccupiedSpace) -> None:
        self.pen.begin("notes")
        for item in caption_labels(self.head, frame):
            if isinstance(item, Label):
                self._label(item, desk)
            else:
                self.pen.symbol(item)
                desk.boxes.append(symbol_box(item))
        for symbol in deeds.symbols:
            self.pen.symbol(symbol)
        for badge in deeds.badges:
            self._badge(badge, desk)
        add_obstacles(self.pen.recording(frame.width, frame.height), desk)
        for words, places in deeds.letters:
            at = next((p for p in places if desk.free(seam_letter_box(words, p), strict=False)), None)
            if at is not None:
                self._label(seam_letter_label(words, at), desk)
        notes = self._all_notes(deeds, self._view(self.segment.orientation))
        placed = place_notes(notes, desk, self.number + sum(len(laid.badges) for _, laid in self.layout.laid))
        for leader in placed.leaders:
            self.pen.leader(leader)
        for badge in placed.badges:
            self.pen.badge(badge)
        for label in placed.labels:
            self.pen.label(label)
        self.rows += placed.rows
        self.pen.end()


@dataclass(frozen=True, slots=True)
class StepPicture:
    """One picture. ``key`` is unique in a tutorial; ``rows`` are printed below the picture."""

    piece: str
    title: str
    description: str
    recording: Recording
    rows: tuple[ListRow, ...]
    key: str
    kind: str = "step"          # "whole" for the picture of a finished blank, "cutting" for that of a sheet
    system: str = ""            # the edition that alone it shows ("mm" or "in"), where each has a picture of its own


def step_pictures(drawn: Plan, other: Plan | None, step: int, locale: Locale = ENGLISH) -> tuple[StepPicture, ...]:
    """The pictures of a step: one for each piece, and one more each time a piece is turned between its work."""
    found = list(step_segments(drawn, step))
    shown = [segment for segment in found if not _is_only_threaded(segment)] or found
    made, seen_before = [], {}
    for segment in shown:
        count = seen_before[segment.piece.id] = seen_before.get(segment.piece.id, 0) + 1
        key = f"step-{step}-{_slug(segment.piece.name)}" + (f"-{count}" if count > 1 else "")
        made.append(_drawn_picture(StepComposer(drawn, other, segment, locale=locale), key))
    return tuple(made)


def _is_only_threaded(segment: StepSegment) -> bool:
    """True for a ribbon that is only threaded or tied: it is shown on the piece that it goes through."""
    return segment.piece.is_ribbon and segment.does(Effect.THREAD, Effect.GATHER)


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "piece"


def overview_picture(drawn: Plan, other: Plan | None, piece: int, locale: Locale = ENGLISH) -> StepPicture:
    """All marks of a finished blank, as it lay at first, with every distance from its edges."""
    info = next(p for p in drawn.pieces if p.id == piece)
    state = drawn.state(piece)
    if state is None:
        raise ValueError(f"no statement makes the piece {info.name!r}")
    acts = tuple(act for act in drawn.acts if piece in act.pieces)
    whole = StepSegment(info, acts[-1].step, None, replace(state, orientation=drawn.states[piece][0][1].orientation), acts)
    picture = _drawn_picture(StepComposer(drawn, other, whole, whole=True, locale=locale), f"whole-{_slug(info.name)}")
    return replace(picture, kind="whole")


def _drawn_picture(composer: StepComposer, key: str) -> StepPicture:
    recording, rows = composer.draw()
    return StepPicture(composer.segment.piece.name, composer.title, composer.description, recording, rows, key)
