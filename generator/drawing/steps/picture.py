"""Put one picture together: what is seen, where it lies, then pass by pass with a recording pen.

The front end that draws what a step does to a piece of paper.
"""
from __future__ import annotations

import re
from dataclasses import dataclass, replace

from generator.drawing.lettering import Pair, block
from generator.drawing.pen import Badge, Label, Role
from generator.drawing.recording import Recording, RecordingPen, badge_box, label_box, symbol_box
from generator.drawing.steps.alt_text import description, title, whole_description, whole_title
from generator.drawing.steps.assembly_symbols import (
    AssemblySymbols,
    assembly_symbols,
    letter_box,
    letter_label,
)
from generator.drawing.steps.boxes import Box
from generator.drawing.steps.captions import Head, draw_inset, head_of, labels
from generator.drawing.steps.dual_measures import ListRow, by_twin
from generator.drawing.steps.labels import Note, NotePlacer, fits_inside, lines_of, place, stand_in_the_way
from generator.drawing.steps.layout import HIGHEST, MARGIN, WIDTH, PictureLayout, lay_out, raised
from generator.drawing.steps.measures import Measure, in_rows, measures, size_twins
from generator.drawing.steps.paper_view import PaperView, sheet_of
from generator.drawing.steps.scene import StepScene, Trace, holes, paper, traces
from generator.drawing.steps.size_notes import size_notes
from generator.drawing.steps.step_segments import StepSegment, step_segments
from generator.drawing.steps.view import View, zoom
from generator.drawing.steps.window import Clip, window_of
from generator.locale import ENGLISH, Locale
from generator.paper.records import Orientation, Plan
from generator.paper.work_kinds import Effect

BAND_LINE = 1.6     # mm kept between lines of notes


class Composer:
    """One picture of a spell. ``whole`` is for the picture of a finished blank."""

    def __init__(self, drawn: Plan, other: Plan | None, spell: StepSegment, whole: bool = False,
                 locale: Locale = ENGLISH):
        self.drawn, self.other, self.spell, self.whole, self.locale = drawn, other, spell, whole, locale
        self.seen = View(spell.orientation)
        self.sheet: PaperView = sheet_of(spell, drawn, self.seen, whole)
        self.measures: tuple[Measure, ...] = tuple(
            m.told_in(locale) for m in measures(spell, drawn, other, self.seen, whole))
        self.window = window_of(spell, self.sheet, self.measures, self.seen, WIDTH, HIGHEST)
        self.in_rows = in_rows(self.measures, self.sheet.box)
        ordered = 0 if whole else sum(len(glue.faces) for glue in spell.glues if not glue.target)
        self.number = 1 + ordered       # of the first badge that belongs to the list
        self.layout: PictureLayout = lay_out(self.window, self.in_rows, self.number)
        self.clip = Clip(self.window, self.sheet.box)
        self.head: Head = head_of(spell, self.sheet, not self.clip.whole, self._size() if whole else None, locale)
        self.pen = RecordingPen()
        self.rows: list[ListRow] = []

    def draw(self) -> tuple[Recording, tuple[ListRow, ...]]:
        """Draw everything. Gives the recording and what it leaves to the list below the picture."""
        above, below = self._bands()
        floor = MARGIN + self.layout.below + below
        self.layout = raised(self.layout, self.window, self.in_rows, floor, self.number)
        self.rows = [row for _, laid in self.layout.laid for row in laid.rows]
        height = self.layout.paper.y1 + self.layout.above + above + self.head.height
        frame = Box(0.0, 0.0, WIDTH, height)
        stage = self._stage()
        deeds = self._deeds(self._view(self.spell.orientation), stage.base)
        self._paper(stage, deeds)
        desk = NotePlacer(Box(MARGIN / 2, MARGIN / 2, WIDTH - MARGIN / 2, height - MARGIN / 2))
        low = MARGIN if below else self.layout.paper.y1 + self.layout.above
        desk.shelf = (low, low + max(above, below))
        self._inset(frame, desk)
        self._measures(desk)
        self._notes(deeds, frame, desk)
        return self.pen.recording(WIDTH, round(height, 3)), tuple(self.rows)

    def _size(self) -> Pair:
        """How large the piece is; of a ribbon only how long."""
        wide, high = size_twins(self.spell, self.drawn, self.other, first=False, locale=self.locale)
        return wide.pair() if self.spell.piece.is_ribbon else by_twin(wide, high)

    @property
    def title(self) -> str:
        return whole_title(self.spell, self.locale) if self.whole else title(self.spell, self.locale)

    @property
    def description(self) -> str:
        tell = whole_description if self.whole else description
        return tell(self.spell, self.drawn, self.other, self.measures, self.locale)

    def _view(self, orientation: Orientation) -> View:
        """Into the picture, from the own frame of a piece that lies so."""
        return zoom(orientation, self.layout.scale, self.layout.corner, self.layout.at)

    def _stage(self) -> StepScene:
        if self.clip.whole:
            return StepScene(self.pen, self.clip, self._view(self.spell.orientation), None)
        return StepScene(self.pen, self.clip, self.seen, self._view(Orientation()))

    # -- room ---------------------------------------------------------------

    def _bands(self) -> tuple[float, float]:
        """mm kept free above and below for notes that find no room on the paper."""
        view = self._view(self.spell.orientation)
        loose = [note for note in self._all_notes(self._deeds(view, view), view) if not fits_inside(note)]
        if not loose:
            return MARGIN, 0.0
        lines, used, high = 1, 0.0, 0.0
        for note in loose:
            wide, tall = block(note.words)
            high = max(high, tall)
            if used and used + wide > WIDTH * 0.8:
                lines, used = lines + 1, 0.0
            used += wide + 4 * MARGIN
        band = lines * (high + BAND_LINE) + 5.0
        top_taken = self.layout.above > 0.0
        return (MARGIN, band) if top_taken and self.layout.below == 0.0 else (band, 0.0)

    def _deeds(self, view: View, base: View) -> AssemblySymbols:
        return AssemblySymbols() if self.whole else assembly_symbols(self.spell, self.drawn, self.other, base, view, self.locale)

    def _all_notes(self, deeds: AssemblySymbols, view: View) -> list[Note]:
        return [*deeds.notes, *size_notes(self.spell, self.drawn, self.other, view, self.locale)]

    # -- passes -------------------------------------------------------------

    def _paper(self, stage: StepScene, deeds: AssemblySymbols) -> None:
        self.pen.begin("paper")
        area = paper(stage, self.spell, self.sheet)
        for face, surface in deeds.areas:
            stage.area(face, surface)
        lines = tuple(traces(self.spell, self.sheet, stage.base, self.whole))
        for fresh, process in ((False, "before"), (True, "now")):
            self.pen.begin(process)
            for trace in lines:
                if trace.fresh is fresh:
                    stage.strokes(trace)
        for trace in deeds.traces:
            stage.strokes(trace)
        holes(stage, self.spell)
        if not stage.whole:
            stage.strokes(Trace(Role.BREAK, False, self.clip.breaks(area)))
        self.pen.end()

    def _inset(self, frame: Box, desk: NotePlacer) -> None:
        if not self.head.inset:
            return
        self.pen.begin("where")
        desk.boxes.append(draw_inset(self.pen, self.head, self.spell, self.sheet, self.window, frame))
        self.pen.end()

    def _measures(self, desk: NotePlacer) -> None:
        self.pen.begin("measures")
        for _, laid in self.layout.laid:
            for dimension in laid.dimensions:
                self.pen.dimension(dimension)
                desk.hard += lines_of(dimension)
            for label in laid.labels:
                self._label(label, desk)
            for badge in laid.badges:
                self._badge(badge, desk)
        self.pen.end()

    def _badge(self, badge: Badge, desk: NotePlacer) -> None:
        self.pen.badge(badge)
        desk.boxes.append(badge_box(badge))

    def _label(self, label: Label, desk: NotePlacer) -> None:
        self.pen.label(label)
        desk.boxes.append(label_box(label))

    def _notes(self, deeds: AssemblySymbols, frame: Box, desk: NotePlacer) -> None:
        self.pen.begin("notes")
        for item in labels(self.head, frame):
            if isinstance(item, Label):
                self._label(item, desk)
            else:
                self.pen.symbol(item)
                desk.boxes.append(symbol_box(item))
        for symbol in deeds.symbols:
            self.pen.symbol(symbol)
        for badge in deeds.badges:
            self._badge(badge, desk)
        stand_in_the_way(self.pen.recording(frame.width, frame.height), desk)
        for words, places in deeds.letters:
            at = next((p for p in places if desk.free(letter_box(words, p), strict=False)), None)
            if at is not None:
                self._label(letter_label(words, at), desk)
        notes = self._all_notes(deeds, self._view(self.spell.orientation))
        placed = place(notes, desk, self.number + sum(len(laid.badges) for _, laid in self.layout.laid))
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
    shown = [spell for spell in found if not _only_serves(spell)] or found
    made, seen_before = [], {}
    for spell in shown:
        count = seen_before[spell.piece.id] = seen_before.get(spell.piece.id, 0) + 1
        key = f"step-{step}-{_slug(spell.piece.name)}" + (f"-{count}" if count > 1 else "")
        made.append(_drawn(Composer(drawn, other, spell, locale=locale), key))
    return tuple(made)


def _only_serves(spell: StepSegment) -> bool:
    """True for a ribbon that is only threaded or tied: it is shown on the piece that it goes through."""
    return spell.piece.is_ribbon and spell.does(Effect.THREAD, Effect.GATHER)


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
    picture = _drawn(Composer(drawn, other, whole, whole=True, locale=locale), f"whole-{_slug(info.name)}")
    return replace(picture, kind="whole")


def _drawn(composer: Composer, key: str) -> StepPicture:
    recording, rows = composer.draw()
    return StepPicture(composer.spell.piece.name, composer.title, composer.description, recording, rows, key)
