"""A step picture in words, from its own data: its caption with the inset, its title, and its description."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from generator.dataclass import dataclass, replace
from generator.drawing.lettering import SMALL_LETTER_SIZE, DualText, text_block_size, wrapped_lines
from generator.drawing.pen import Label, Pen, Role, Sign, Symbol
from generator.drawing.picture_geometry import Box, View, rectangle_path
from generator.drawing.steps.dimensions import Measure, piece_sizes
from generator.drawing.steps.dual_measures import DualMeasure, angle_text, list_measures
from generator.drawing.steps.layout import PICTURE_WIDTH
from generator.drawing.steps.scene import fold_role, upper_surface
from generator.drawing.steps.segments import PaperView, StepSegment, viewed_region
from generator.geometry import Line, Point
from generator.locale import ENGLISH, Locale, capital
from generator.paper.glue_sides import face_numbers, order_text
from generator.paper.records import Decoration, Face, Fold, Mark, Orientation, Plan, Side
from generator.paper.work_kinds import ACT_KINDS, Effect
from generator.units import SYSTEMS

INSET_MAX_WIDTH, INSET_MAX_HEIGHT = 30.0, 18.0     # mm: the largest inset
SIGN_WIDTH = 9.0                         # mm: a turning sign before its words
CAPTION_LEADING = 5.2                              # mm from one line of the caption to the next
CAPTION_MARGIN = 1.2                              # mm kept free at the picture's edge


@dataclass(frozen=True, slots=True)
class PictureCaption:
    """A caption's lines with a sign and indents, a size at its right, the inset's scale (or 0); in mm."""

    lines: tuple[tuple[Sign | None, float, str], ...]
    size: DualText | None
    inset: float
    height: float


def picture_caption(segment: StepSegment, drawn: Plan, paper: PaperView, zoomed: bool,
                    size: DualText | None = None, locale: Locale = ENGLISH) -> PictureCaption:
    """The caption of a segment's picture; with ``size`` it is that of a finished blank."""
    inset = min(INSET_MAX_WIDTH / paper.box.width, INSET_MAX_HEIGHT / paper.box.height) if zoomed else 0.0
    taken, beside = text_block_size(size, SMALL_LETTER_SIZE) if size else (paper.box.width * inset, 0.0)
    room = PICTURE_WIDTH - 3 * CAPTION_MARGIN - taken
    lines = tuple(_in_lines(_caption_lines(segment, drawn, size is not None, locale), room))
    height = max(CAPTION_LEADING * len(lines), beside,
                 paper.box.height * inset + CAPTION_MARGIN) + CAPTION_MARGIN
    return PictureCaption(lines, size, inset, height)


def _in_lines(told: Iterable[tuple[Sign | None, str]],
              room: float) -> Iterator[tuple[Sign | None, float, str]]:
    """Each line, of at most ``room`` mm, with its indent; a sign stands before its first."""
    for sign, words in told:
        indent = SIGN_WIDTH if sign else 0.0
        for number, line in enumerate(wrapped_lines(words, SMALL_LETTER_SIZE, room - indent)):
            yield None if number else sign, indent, line


def _caption_lines(segment: StepSegment, drawn: Plan, whole: bool,
                   locale: Locale) -> Iterator[tuple[Sign | None, str]]:
    if not segment.piece.is_ribbon:
        yield None, capital(locale.say(f"drawing.side.{segment.side_up}"))
    if whole:
        return
    if segment.turned is not None:
        sign = turn_sign(segment.turned, segment.orientation)
        yield sign, locale.say(f"drawing.caption.{sign}")
    for glue in segment.glues:
        if order_text(glue):
            yield None, locale.say("drawing.caption.order", order=order_text(glue))
    for side in dict.fromkeys(area.side for area in segment.glued_areas(drawn) if not area.up):
        yield None, locale.say(f"drawing.caption.glue_{side}")


def turn_sign(before: Orientation, after: Orientation) -> Sign:
    """How the reader turned a piece from one orientation to the other."""
    if before.over != after.over:
        return Sign.TURN_OVER
    clockwise = (after.quarters - before.quarters) * (-1 if after.over else 1) % 4
    return {1: Sign.QUARTER_RIGHT, 2: Sign.HALF_TURN, 3: Sign.QUARTER_LEFT}.get(clockwise, Sign.HALF_TURN)


def caption_labels(caption: PictureCaption, frame: Box) -> Iterator[Label | Symbol]:
    """The caption's lines from the top left."""
    for number, (sign, indent, words) in enumerate(caption.lines):
        y = frame.y1 - CAPTION_MARGIN - CAPTION_LEADING * (number + 0.5)
        left = frame.x0 + CAPTION_MARGIN
        if sign is not None:
            yield _turning_symbol(sign, left, y)
        yield caption_label(words, left + indent, y)
    if caption.size is not None:
        width, height = text_block_size(caption.size, SMALL_LETTER_SIZE)
        at = Point(frame.x1 - CAPTION_MARGIN - width / 2, frame.y1 - CAPTION_MARGIN - height / 2)
        yield Label(caption.size, at, SMALL_LETTER_SIZE, align="end")


def caption_label(words: str, left: float, y: float) -> Label:
    """One line of a caption that begins at ``left``."""
    text = DualText.plain(words)
    width, _ = text_block_size(text, SMALL_LETTER_SIZE)
    return Label(text, Point(left + width / 2, y), SMALL_LETTER_SIZE, quiet=True, align="start")


def _turning_symbol(sign: Sign, left: float, y: float) -> Symbol:
    start, end = Point(left + 0.8, y - 1.2), Point(left + SIGN_WIDTH - 2.2, y - 1.2)
    if sign in (Sign.QUARTER_LEFT, Sign.TURN_OVER):
        start, end = end, start
    return Symbol(sign, start, end, 2.4 if start.x < end.x else -2.4)


def draw_inset(pen: Pen, caption: PictureCaption, segment: StepSegment, paper: PaperView, window: Box,
               frame: Box) -> Box:
    """The whole piece in small at the top right, with a frame round what the picture shows. Gives its box."""
    box, scale = paper.box, caption.inset
    at = Box(frame.x1 - CAPTION_MARGIN - box.width * scale, frame.y1 - CAPTION_MARGIN - box.height * scale,
             frame.x1 - CAPTION_MARGIN, frame.y1 - CAPTION_MARGIN)
    view = View(scale=scale, dx=at.x0 - box.x0 * scale, dy=at.y0 - box.y0 * scale)
    area = viewed_region(paper.before, replace(view, orientation=segment.orientation))
    loops = (area.outline, *area.holes)
    pen.area(loops, upper_surface(segment))
    for loop in loops:
        pen.stroke(loop, Role.EDGE, False)
    pen.stroke(rectangle_path(view.box(window)), Role.FRAME, True)
    return at.grown(0.4)


DECORATIONS = tuple(kind for kind in ACT_KINDS.values()
                    if kind.effect in (Effect.KEEP_CLEAR, Effect.DECORATE))
FOLD_ROLES = (Role.VALLEY, Role.MOUNTAIN)
ORIGINS = (Side.LEFT, Side.RIGHT, Side.BOTTOM, Side.TOP)      # in this order they are told


def step_title(segment: StepSegment, locale: Locale = ENGLISH) -> str:
    """Such as "Strip, plain side up: eight scores"."""
    work = _work_done(segment, locale) or [locale.say("drawing.title.nothing")]
    return locale.say("drawing.title.step", piece=_piece_phrase(segment, locale), deeds=locale.join(work))


def _piece_phrase(segment: StepSegment, locale: Locale) -> str:
    """Such as "Strip, plain side up"; a ribbon has no sides."""
    piece = capital(locale.name(segment.piece.name))
    if segment.piece.is_ribbon:
        return piece
    return locale.say("drawing.title.piece", piece=piece, side=locale.say(f"drawing.side.{segment.side_up}"))


def blank_title(segment: StepSegment, locale: Locale = ENGLISH) -> str:
    """Such as "Strip, plain side up: all its marks"."""
    return locale.say("drawing.title.whole", piece=_piece_phrase(segment, locale))


def step_description(segment: StepSegment, drawn: Plan, locale: Locale = ENGLISH) -> str:
    """Sentences without measures: how the piece lies and what is done."""
    sentences = [locale.say(f"drawing.tell.{_turn_phrase(segment)}", piece=_piece_phrase(segment, locale))]
    if work := _work_done(segment, locale):
        sentences.append(locale.say("drawing.tell.deeds", deeds=locale.join(work)))
    sentences += _glue_sentences(segment, drawn, locale)
    return " ".join([*sentences, *_fold_sentences(segment, locale)])


def blank_description(segment: StepSegment, locale: Locale = ENGLISH) -> str:
    """That this is the finished blank."""
    return locale.say("drawing.tell.whole", piece=_piece_phrase(segment, locale))


def told_measures(segment: StepSegment, drawn: Plan, other: Plan | None, measures: Sequence[Measure],
                  locale: Locale = ENGLISH) -> Mapping[str, str]:
    """By system one sentence of all measures, where it has them all: the size, then the marks in order."""
    told = {}
    for system in SYSTEMS:
        found = [_size_phrase(segment, drawn, other, system, locale),
                 *_position_phrases(measures, system, locale)]
        phrases = [phrase for phrase in found if phrase]
        if len(phrases) == len(found):
            measured = locale.say("drawing.tell.and_then").join(phrases)
            told[system] = (f"{locale.say(f'drawing.told_{system}')} "
                            f"{locale.say('drawing.tell.measured', measures=measured)}")
    return told


def _turn_phrase(segment: StepSegment) -> str:
    if segment.turned is None:
        return "lies"
    return "turned_over" if segment.turned.over != segment.orientation.over else "turned"


def _work_done(segment: StepSegment, locale: Locale) -> list[str]:
    """What is done, in the trade's words; that the paper is turned only where that is all."""
    turned = [locale.say("drawing.deed.turned")] if segment.turned is not None else []
    return list(_deeds(segment, locale)) or turned


def _deeds(segment: StepSegment, locale: Locale) -> Iterator[str]:
    if segment.makes_piece:
        yield locale.say("drawing.deed.cut_to_size")
    for (verb, curved), marks in _mark_groups(segment.marks):
        yield locale.count(f"drawing.deed.{'curved_' if curved else ''}{verb}", len(marks))
    if segment.faces and not segment.makes_piece:
        yield locale.count("drawing.deed.panel", len(segment.faces))
    if segment.removes:
        yield locale.say("drawing.deed.removed")
    for role, folds in _folds_by_role(segment):
        yield locale.count(f"drawing.deed.{role}", len(folds))
    yield from _assembly_phrases(segment, locale)


def _assembly_phrases(segment: StepSegment, locale: Locale) -> Iterator[str]:
    if segment.glues:
        yield locale.count("drawing.deed.glue", sum(len(glue.faces) for glue in segment.glues))
    if segment.seams:
        yield locale.count("drawing.deed.seam", sum(len(seam.pairs) for seam in segment.seams))
    if segment.does(Effect.THREAD):
        yield locale.say("drawing.deed.thread")
    if segment.does(Effect.GATHER):
        yield locale.say("drawing.deed.gather")
    for kind in DECORATIONS:
        if faces := sum(len(act.detail.faces) for act in segment.acts
                        if act.kind is kind and isinstance(act.detail, Decoration)):
            yield locale.count(f"drawing.deed.{kind.word}", faces)


def _mark_groups(marks: Iterable[Mark]) -> Iterator[tuple[tuple[str, bool], list[Mark]]]:
    def kind(mark: Mark) -> tuple[str, bool]:
        return mark.verb, not mark.kind.is_hole and not all(isinstance(s, Line) for s in mark.whole)
    for key, group in groupby(marks, key=kind):
        yield key, list(group)


def _glue_sentences(segment: StepSegment, drawn: Plan, locale: Locale) -> Iterator[str]:
    for glue in segment.glues:
        names = _face_list(glue.faces, locale)
        if order_text(glue) and face_numbers(glue) != tuple(face.index for face in glue.faces):
            names = locale.say("drawing.tell.faces_run", first=1, last=len(glue.faces), name=locale.join(
                [*dict.fromkeys(locale.name(face.name) for face in glue.faces)]))
        if glue.target:
            yield locale.count(f"drawing.tell.glue_{'over' if glue.over else 'under'}", len(glue.faces),
                               faces=names,
                               target=_face_list(glue.target, locale))
        else:
            yield locale.say("drawing.tell.glue_order", faces=capital(names),
                             order=order_text(glue))
    for side, up in dict.fromkeys((area.side, area.up) for area in segment.glued_areas(drawn)):
        yield locale.say(f"drawing.tell.glue_{side}_{'up' if up else 'below'}")


def _face_list(faces: Sequence[Face], locale: Locale) -> str:
    """Such as "the tab", "number 1 of the walls", "feet 1 to 8"."""
    return locale.join(list(dict.fromkeys(
        _numbered_faces(list(group), locale) for _, group in groupby(faces, key=lambda f: (f.name, f.act)))))


def _numbered_faces(faces: Sequence[Face], locale: Locale) -> str:
    name = locale.name(faces[0].name) or locale.say("drawing.tell.face")
    if faces[0].count == 1:
        return locale.say("drawing.tell.one_face", name=name)
    numbers = [face.index for face in faces]
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))):
        return locale.say("drawing.tell.faces_run", name=name, first=numbers[0], last=numbers[-1])
    return locale.count("drawing.tell.faces", len(numbers), name=name,
                        numbers=locale.join([str(n) for n in numbers]))


def _fold_sentences(segment: StepSegment, locale: Locale) -> Iterator[str]:
    for role, folds in _folds_by_role(segment):
        yield locale.count(f"drawing.tell.{role}", len(folds), by=_angles(folds, locale))


def _folds_by_role(segment: StepSegment) -> Iterator[tuple[Role, list[Fold]]]:
    for role in FOLD_ROLES:
        if folds := [fold for fold in segment.folds if fold_role(fold, segment) is role]:
            yield role, folds


def _angles(folds: Sequence[Fold], locale: Locale) -> str:
    angles = {fold.angle for fold in folds}
    angle = angles.pop() if len(angles) == 1 else None
    return locale.say("drawing.tell.by", angle=angle_text(angle, locale)) if angle is not None else ""


def _size_phrase(segment: StepSegment, drawn: Plan, other: Plan | None, system: str,
                 locale: Locale) -> str | None:
    """How large the piece is as it lies."""
    width, height = piece_sizes(segment, drawn, other, first=segment.makes_piece, locale=locale)
    across, up = (list_measures([value], system) for value in (width, height))
    name = locale.name(segment.piece.name)
    if segment.piece.is_ribbon:
        return locale.say("drawing.tell.long", piece=name, long=across) if across else None
    return locale.say("drawing.tell.size", piece=name, wide=across, high=up) if across and up else None


def _position_phrases(measures: Sequence[Measure], system: str, locale: Locale) -> Iterator[str | None]:
    """Such as "scores at 30, 60 and 90 mm from the left edge": kind by kind, each line once, in order.

    Lines come before the ends of lines.
    """
    found: dict[tuple[bool, str, Side], dict[float, DualMeasure]] = {}
    seen: set[tuple[str, str, float]] = set()
    for measure in sorted(measures, key=lambda each: (each.end, ORIGINS.index(each.side))):
        kind = measure.series.split(" ", 1)[0]
        place = (kind, measure.axis, round(measure.at, 3))
        if kind != "size" and place not in seen:
            seen.add(place)
            key = measure.end, "end" if measure.end else kind, measure.side
            found.setdefault(key, {})[float(measure.value.either)] = measure.value
    for (_, noun, side), values in found.items():
        words = list_measures([values[at] for at in sorted(values)], system)
        what = locale.count(f"drawing.noun.{noun}", len(values))
        yield locale.say(f"drawing.at.{side}", what=what, places=words) if words else None
