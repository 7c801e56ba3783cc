"""A picture's title and description in words, from the same data as the picture."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from generator.drawing.pen import Role
from generator.drawing.steps.dual_measures import Twin, degrees, listed
from generator.drawing.steps.measures import Measure, size_twins
from generator.drawing.steps.paper_view import side_up
from generator.drawing.steps.scene import seen_role
from generator.drawing.steps.step_segments import StepSegment
from generator.geometry import Line
from generator.locale import ENGLISH, Locale, capital
from generator.paper.records import Face, Fold, Mark, Plan, Side
from generator.paper.work_kinds import ACT_KINDS, Effect

SYSTEMS = ("mm", "in")
DECORATIONS = tuple(kind for kind in ACT_KINDS.values() if kind.effect in (Effect.KEEP_CLEAR, Effect.DECORATE))
FOLDED = (Role.VALLEY, Role.MOUNTAIN)


def title(spell: StepSegment, locale: Locale = ENGLISH) -> str:
    """"Strip, plain side up: eight scores"."""
    deeds = list(_deeds(spell, locale)) or [locale.say("drawing.title.nothing")]
    return locale.say("drawing.title.step", piece=_piece(spell, locale), deeds=locale.join(deeds))


def _piece(spell: StepSegment, locale: Locale) -> str:
    """"Strip, plain side up"; a ribbon has no sides."""
    piece = capital(locale.name(spell.piece.name))
    if spell.piece.is_ribbon:
        return piece
    return locale.say("drawing.title.piece", piece=piece, side=locale.say(f"drawing.side.{side_up(spell.piece, spell.after)}"))


def whole_title(spell: StepSegment, locale: Locale = ENGLISH) -> str:
    """"Strip, plain side up: all its marks"."""
    return locale.say("drawing.title.whole", piece=_piece(spell, locale))


def description(spell: StepSegment, drawn: Plan, other: Plan | None, measures: Sequence[Measure],
                locale: Locale = ENGLISH) -> str:
    """Sentences: how the piece lies, what is done, then every measure once for each system."""
    told = [locale.say(f"drawing.tell.{_as_turned(spell)}", piece=_piece(spell, locale))]
    if deeds := list(_deeds(spell, locale)):
        told.append(locale.say("drawing.tell.deeds", deeds=locale.join(deeds)))
    told += _glue_sentences(spell, locale)
    told += _fold_sentences(spell, locale)
    return " ".join([*told, *_measured(spell, drawn, other, measures, locale)])


def whole_description(spell: StepSegment, drawn: Plan, other: Plan | None, measures: Sequence[Measure],
                      locale: Locale = ENGLISH) -> str:
    """The finished blank: its size and where its marks lie, once for each system."""
    told = [locale.say("drawing.tell.whole", piece=_piece(spell, locale))]
    return " ".join([*told, *_measured(spell, drawn, other, measures, locale)])


def _measured(spell: StepSegment, drawn: Plan, other: Plan | None, measures: Sequence[Measure], locale: Locale) -> Iterator[str]:
    for system in SYSTEMS:
        said = [_size(spell, drawn, other, system, locale), *_places(measures, system, locale)]
        if all(said):
            measured = locale.say("drawing.tell.and_then").join(said)
            yield f"{locale.say(f'drawing.told_{system}')} {locale.say('drawing.tell.measured', measures=measured)}"


def _as_turned(spell: StepSegment) -> str:
    if spell.turned is None:
        return "lies"
    return "turned_over" if spell.turned.over != spell.orientation.over else "turned"


def _deeds(spell: StepSegment, locale: Locale) -> Iterator[str]:
    """What is done, in the trade's words."""
    if spell.makes_piece:
        yield locale.say("drawing.deed.cut_to_size")
    for (verb, curved), marks in _groups(spell.marks):
        yield locale.count(f"drawing.deed.{'curved_' if curved else ''}{verb}", len(marks))
    if spell.faces and not spell.makes_piece:
        yield locale.count("drawing.deed.panel", len(spell.faces))
    if spell.removes:
        yield locale.say("drawing.deed.removed")
    for role in FOLDED:
        folds = [fold for fold in spell.folds if seen_role(fold, spell) is role]
        if folds:
            yield locale.count(f"drawing.deed.{role}", len(folds))
    yield from _assembly(spell, locale)


def _assembly(spell: StepSegment, locale: Locale) -> Iterator[str]:
    if spell.glues:
        yield locale.count("drawing.deed.glue", sum(len(glue.faces) for glue in spell.glues))
    if spell.seams:
        yield locale.count("drawing.deed.seam", sum(len(seam.pairs) for seam in spell.seams))
    if spell.threads:
        yield locale.say("drawing.deed.thread")
    if spell.does(Effect.GATHER):
        yield locale.say("drawing.deed.gather")
    for kind in DECORATIONS:
        if faces := sum(len(act.detail.faces) for act in spell.acts if act.kind is kind):
            yield locale.count(f"drawing.deed.{kind.word}", faces)
    if spell.turned is not None and not spell.marks and not spell.folds:
        yield locale.say("drawing.deed.turned")


def _groups(marks: Iterable[Mark]) -> Iterator[tuple[tuple[str, bool], list[Mark]]]:
    def kind(mark: Mark) -> tuple[str, bool]:
        return mark.verb, not mark.kind.is_hole and not all(isinstance(s, Line) for s in mark.whole)
    for key, group in groupby(marks, key=kind):
        yield key, list(group)


def _glue_sentences(spell: StepSegment, locale: Locale) -> Iterator[str]:
    for glue in spell.glues:
        names = _faces(glue.faces, locale)
        if glue.target:
            yield locale.count(f"drawing.tell.glue_{'over' if glue.over else 'under'}", len(glue.faces), faces=names,
                               target=_faces(glue.target, locale))
        else:
            yield locale.say("drawing.tell.glue_order", faces=capital(names), order=locale.join([str(k) for k in glue.order]))


def _faces(faces: Sequence[Face], locale: Locale) -> str:
    """"tab face", "walls 1", "feet 1 to 8"."""
    return locale.join(list(dict.fromkeys(
        _run(list(group), locale) for _, group in groupby(faces, key=lambda f: (f.name, f.act)))))


def _run(faces: Sequence[Face], locale: Locale) -> str:
    name = locale.name(faces[0].name) or locale.say("drawing.tell.face")
    if faces[0].count == 1:
        return name
    numbers = [face.index for face in faces]
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))):
        return locale.say("drawing.tell.faces_run", name=name, first=numbers[0], last=numbers[-1])
    return locale.say("drawing.tell.faces", name=name, numbers=locale.join([str(n) for n in numbers]))


def _fold_sentences(spell: StepSegment, locale: Locale) -> Iterator[str]:
    for role in FOLDED:
        folds = [fold for fold in spell.folds if seen_role(fold, spell) is role]
        if folds:
            yield locale.count(f"drawing.tell.{role}", len(folds), by=_angles(folds, locale))


def _angles(folds: Sequence[Fold], locale: Locale) -> str:
    angles = {fold.angle for fold in folds}
    angle = angles.pop() if len(angles) == 1 else None
    return locale.say("drawing.tell.by", angle=degrees(angle, locale)) if angle is not None else ""


def _size(spell: StepSegment, drawn: Plan, other: Plan | None, system: str, locale: Locale) -> str | None:
    """How large the piece is as it lies."""
    wide, high = size_twins(spell, drawn, other, first=spell.makes_piece, locale=locale)
    across, up, name = listed([wide], system), listed([high], system), locale.name(spell.piece.name)
    if spell.piece.is_ribbon:
        return locale.say("drawing.tell.long", piece=name, long=across) if across else None
    return locale.say("drawing.tell.size", piece=name, wide=across, high=up) if across and up else None


def _places(measures: Sequence[Measure], system: str, locale: Locale) -> Iterator[str | None]:
    """"scores at 30, 60 and 90 mm from the left edge", series by series."""
    found: dict[tuple[str, Side], list[Twin]] = {}
    for measure in measures:
        if measure.series != "size":
            found.setdefault((measure.series, measure.side), []).append(measure.twin)
    for (series, side), twins in found.items():
        words = listed(twins, system)
        yield locale.say(f"drawing.at.{side}", what=_noun(series, twins, locale), places=words) if words else None


def _noun(series: str, twins: Sequence[Twin], locale: Locale) -> str:
    kind = "edge" if series == "cut edge" else series.split(" ", 1)[0]
    return locale.count(f"drawing.noun.{kind}", len(twins))
