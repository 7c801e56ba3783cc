"""A picture's title and description in words, from the same data as the picture."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from generator.drawing.measures import Measure, size_twins
from generator.drawing.pen import Role
from generator.drawing.said import Twin, degrees, listed
from generator.drawing.scene import seen_role
from generator.drawing.sheet import side_up
from generator.drawing.spells import Spell
from generator.geometry import Line
from generator.paper.records import Face, Fold, Mark, Plan, Side
from generator.paper.work_kinds import ACT_KINDS, Effect
from generator.tongue import ENGLISH, Tongue, capital

SYSTEMS = ("mm", "in")
DECORATIONS = tuple(kind for kind in ACT_KINDS.values() if kind.effect in (Effect.KEEP_CLEAR, Effect.DECORATE))
FOLDED = (Role.VALLEY, Role.MOUNTAIN)


def title(spell: Spell, tongue: Tongue = ENGLISH) -> str:
    """"Strip, plain side up: eight scores"."""
    deeds = list(_deeds(spell, tongue)) or [tongue.say("drawing.title.nothing")]
    return tongue.say("drawing.title.step", piece=_piece(spell, tongue), deeds=tongue.join(deeds))


def _piece(spell: Spell, tongue: Tongue) -> str:
    """"Strip, plain side up"; a ribbon has no sides."""
    piece = capital(tongue.name(spell.piece.name))
    if spell.piece.is_ribbon:
        return piece
    return tongue.say("drawing.title.piece", piece=piece, side=tongue.say(f"drawing.side.{side_up(spell.piece, spell.after)}"))


def whole_title(spell: Spell, tongue: Tongue = ENGLISH) -> str:
    """"Strip, plain side up: all its marks"."""
    return tongue.say("drawing.title.whole", piece=_piece(spell, tongue))


def description(spell: Spell, drawn: Plan, other: Plan | None, measures: Sequence[Measure],
                tongue: Tongue = ENGLISH) -> str:
    """Sentences: how the piece lies, what is done, then every measure once for each system."""
    told = [tongue.say(f"drawing.tell.{_as_turned(spell)}", piece=_piece(spell, tongue))]
    if deeds := list(_deeds(spell, tongue)):
        told.append(tongue.say("drawing.tell.deeds", deeds=tongue.join(deeds)))
    told += _glue_sentences(spell, tongue)
    told += _fold_sentences(spell, tongue)
    return " ".join([*told, *_measured(spell, drawn, other, measures, tongue)])


def whole_description(spell: Spell, drawn: Plan, other: Plan | None, measures: Sequence[Measure],
                      tongue: Tongue = ENGLISH) -> str:
    """The finished blank: its size and where its marks lie, once for each system."""
    told = [tongue.say("drawing.tell.whole", piece=_piece(spell, tongue))]
    return " ".join([*told, *_measured(spell, drawn, other, measures, tongue)])


def _measured(spell: Spell, drawn: Plan, other: Plan | None, measures: Sequence[Measure], tongue: Tongue) -> Iterator[str]:
    for system in SYSTEMS:
        said = [_size(spell, drawn, other, system, tongue), *_places(measures, system, tongue)]
        if all(said):
            measured = tongue.say("drawing.tell.and_then").join(said)
            yield f"{tongue.say(f'drawing.told_{system}')} {tongue.say('drawing.tell.measured', measures=measured)}"


def _as_turned(spell: Spell) -> str:
    if spell.turned is None:
        return "lies"
    return "turned_over" if spell.turned.over != spell.lie.over else "turned"


def _deeds(spell: Spell, tongue: Tongue) -> Iterator[str]:
    """What is done, in the trade's words."""
    if spell.makes_piece:
        yield tongue.say("drawing.deed.cut_to_size")
    for (verb, curved), marks in _groups(spell.marks):
        yield tongue.count(f"drawing.deed.{'curved_' if curved else ''}{verb}", len(marks))
    if spell.faces and not spell.makes_piece:
        yield tongue.count("drawing.deed.panel", len(spell.faces))
    if spell.removes:
        yield tongue.say("drawing.deed.removed")
    for role in FOLDED:
        folds = [fold for fold in spell.folds if seen_role(fold, spell) is role]
        if folds:
            yield tongue.count(f"drawing.deed.{role}", len(folds))
    yield from _assembly(spell, tongue)


def _assembly(spell: Spell, tongue: Tongue) -> Iterator[str]:
    if spell.glues:
        yield tongue.count("drawing.deed.glue", sum(len(glue.faces) for glue in spell.glues))
    if spell.seams:
        yield tongue.count("drawing.deed.seam", sum(len(seam.pairs) for seam in spell.seams))
    if spell.threads:
        yield tongue.say("drawing.deed.thread")
    if spell.does(Effect.GATHER):
        yield tongue.say("drawing.deed.gather")
    for kind in DECORATIONS:
        if faces := sum(len(act.detail.faces) for act in spell.acts if act.kind is kind):
            yield tongue.count(f"drawing.deed.{kind.word}", faces)
    if spell.turned is not None and not spell.marks and not spell.folds:
        yield tongue.say("drawing.deed.turned")


def _groups(marks: Iterable[Mark]) -> Iterator[tuple[tuple[str, bool], list[Mark]]]:
    def kind(mark: Mark) -> tuple[str, bool]:
        return mark.verb, not mark.kind.is_hole and not all(isinstance(s, Line) for s in mark.whole)
    for key, group in groupby(marks, key=kind):
        yield key, list(group)


def _glue_sentences(spell: Spell, tongue: Tongue) -> Iterator[str]:
    for glue in spell.glues:
        names = _faces(glue.faces, tongue)
        if glue.target:
            yield tongue.count(f"drawing.tell.glue_{'over' if glue.over else 'under'}", len(glue.faces), faces=names,
                               target=_faces(glue.target, tongue))
        else:
            yield tongue.say("drawing.tell.glue_order", faces=capital(names), order=tongue.join([str(k) for k in glue.order]))


def _faces(faces: Sequence[Face], tongue: Tongue) -> str:
    """"tab face", "walls 1", "feet 1 to 8"."""
    return tongue.join(list(dict.fromkeys(
        _run(list(group), tongue) for _, group in groupby(faces, key=lambda f: (f.name, f.act)))))


def _run(faces: Sequence[Face], tongue: Tongue) -> str:
    name = tongue.name(faces[0].name) or tongue.say("drawing.tell.face")
    if faces[0].count == 1:
        return name
    numbers = [face.index for face in faces]
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))):
        return tongue.say("drawing.tell.faces_run", name=name, first=numbers[0], last=numbers[-1])
    return tongue.say("drawing.tell.faces", name=name, numbers=tongue.join([str(n) for n in numbers]))


def _fold_sentences(spell: Spell, tongue: Tongue) -> Iterator[str]:
    for role in FOLDED:
        folds = [fold for fold in spell.folds if seen_role(fold, spell) is role]
        if folds:
            yield tongue.count(f"drawing.tell.{role}", len(folds), by=_angles(folds, tongue))


def _angles(folds: Sequence[Fold], tongue: Tongue) -> str:
    angles = {fold.angle for fold in folds}
    angle = angles.pop() if len(angles) == 1 else None
    return tongue.say("drawing.tell.by", angle=degrees(angle, tongue)) if angle is not None else ""


def _size(spell: Spell, drawn: Plan, other: Plan | None, system: str, tongue: Tongue) -> str | None:
    """How large the piece is as it lies."""
    wide, high = size_twins(spell, drawn, other, first=spell.makes_piece, tongue=tongue)
    across, up, name = listed([wide], system), listed([high], system), tongue.name(spell.piece.name)
    if spell.piece.is_ribbon:
        return tongue.say("drawing.tell.long", piece=name, long=across) if across else None
    return tongue.say("drawing.tell.size", piece=name, wide=across, high=up) if across and up else None


def _places(measures: Sequence[Measure], system: str, tongue: Tongue) -> Iterator[str | None]:
    """"scores at 30, 60 and 90 mm from the left edge", series by series."""
    found: dict[tuple[str, Side], list[Twin]] = {}
    for measure in measures:
        if measure.series != "size":
            found.setdefault((measure.series, measure.side), []).append(measure.twin)
    for (series, side), twins in found.items():
        words = listed(twins, system)
        yield tongue.say(f"drawing.at.{side}", what=_noun(series, twins, tongue), places=words) if words else None


def _noun(series: str, twins: Sequence[Twin], tongue: Tongue) -> str:
    kind = "edge" if series == "cut edge" else series.split(" ", 1)[0]
    return tongue.count(f"drawing.noun.{kind}", len(twins))
