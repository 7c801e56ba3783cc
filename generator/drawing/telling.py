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
from generator.units import join, number_words, plural

NOUNS = {"score": ("score", "scores"), "tick": ("tick", "ticks"), "cut": ("cut", "cuts"), "slit": ("slit", "slits"),
         "notch": ("notch", "notches"), "punch": ("punched hole", "punched holes")}
DECORATIONS = {"clear": ("area to keep to", "areas to keep to"), "stamp": ("face to stamp", "faces to stamp"),
               "emboss": ("face to emboss", "faces to emboss")}
SYSTEMS = (("mm", "In millimetres"), ("in", "In inches"))
FOLD_NOUNS = {Role.VALLEY: ("valley fold", "valley folds"), Role.MOUNTAIN: ("mountain fold", "mountain folds")}


def named(name: str | None) -> str:
    """A name of the source as words: "foot_line" is "foot line", "tube.panels", what a part made, "tube panels"."""
    return (name or "").replace("_", " ").replace(".", " ")


def counted(n: int, one: str, many: str) -> str:
    """"one score", "eight scores"."""
    return f"{number_words(n)} {plural(n, one, many)}"


def title(spell: Spell) -> str:
    """"Strip, plain side up: eight scores"."""
    return f"{_piece(spell)}: {join(list(_deeds(spell)) or ['as it lies'])}"


def _piece(spell: Spell) -> str:
    """"Strip, plain side up"; a ribbon has no sides."""
    piece = named(spell.piece.name)
    piece = f"{piece[:1].upper()}{piece[1:]}"
    return piece if spell.piece.kind == "ribbon" else f"{piece}, {side_up(spell.piece, spell.after)} side up"


def whole_title(spell: Spell) -> str:
    """"Strip, plain side up: all its marks"."""
    return f"{_piece(spell)}: all its marks"


def description(spell: Spell, drawn: Plan, other: Plan | None, measures: Sequence[Measure]) -> str:
    """Sentences: how the piece lies, what is done, then every measure once for each system."""
    told = [f"{_piece(spell)}{_as_turned(spell)}."]
    if deeds := list(_deeds(spell)):
        told.append(f"This step: {join(deeds)}.")
    told += _glue_sentences(spell)
    told += _fold_sentences(spell)
    return " ".join([*told, *_measured(spell, drawn, other, measures)])


def whole_description(spell: Spell, drawn: Plan, other: Plan | None, measures: Sequence[Measure]) -> str:
    """The finished blank: its size and where its marks lie, once for each system."""
    told = [f"{_piece(spell)}: the finished blank, before it is folded."]
    return " ".join([*told, *_measured(spell, drawn, other, measures)])


def _measured(spell: Spell, drawn: Plan, other: Plan | None, measures: Sequence[Measure]) -> Iterator[str]:
    for system, words in SYSTEMS:
        said = [_size(spell, drawn, other, system), *_places(measures, system)]
        if all(said):
            yield f"{words}: {'; '.join(said)}."


def _as_turned(spell: Spell) -> str:
    if spell.turned is None:
        return ""
    return ", turned over" if spell.turned.over != spell.lie.over else ", turned on the table"


def _deeds(spell: Spell) -> Iterator[str]:
    """What is done, in the trade's words."""
    if spell.makes_piece:
        yield "cut to size"
    for (verb, curved), marks in _groups(spell.marks):
        one, many = NOUNS[verb]
        yield counted(len(marks), f"curved {one}" if curved else one, f"curved {many}" if curved else many)
    if spell.faces and not spell.makes_piece:
        yield counted(len(spell.faces), "panel added", "panels added")
    if spell.removes:
        yield "paper cut away"
    for role, (one, many) in FOLD_NOUNS.items():
        folds = [fold for fold in spell.folds if seen_role(fold, spell) is role]
        if folds:
            yield counted(len(folds), one, many)
    yield from _assembly(spell)


def _assembly(spell: Spell) -> Iterator[str]:
    if spell.glues:
        faces = sum(len(glue.faces) for glue in spell.glues)
        yield counted(faces, "face to glue", "faces to glue")
    if spell.seams:
        pairs = sum(len(seam.pairs) for seam in spell.seams)
        yield counted(pairs, "pair of edges that meets", "pairs of edges that meet")
    if spell.threads:
        yield "a ribbon through the holes"
    if spell.does("gather"):
        yield "the top gathered"
    for verb, (one, many) in DECORATIONS.items():
        faces = sum(len(act.detail.faces) for act in spell.acts if act.verb == verb)
        if faces:
            yield counted(faces, one, many)
    if spell.turned is not None and not spell.marks and not spell.folds:
        yield "turned"


def _groups(marks: Iterable[Mark]) -> Iterator[tuple[tuple[str, bool], list[Mark]]]:
    def kind(mark: Mark) -> tuple[str, bool]:
        return mark.verb, mark.verb != "punch" and not all(isinstance(s, Line) for s in mark.whole)
    for key, group in groupby(marks, key=kind):
        yield key, list(group)


def _glue_sentences(spell: Spell) -> Iterator[str]:
    for glue in spell.glues:
        names = _faces(glue.faces)
        if glue.target:
            where = "over" if glue.over else "under"
            yield f"Glue goes on {names}, which {plural(len(glue.faces), 'goes', 'go')} {where} {_faces(glue.target)}."
        else:
            order = join([str(k) for k in glue.order])
            yield f"{names[:1].upper()}{names[1:]} are glued on each other in the order {order}."


def _faces(faces: Sequence[Face]) -> str:
    """"tab face", "walls 1", "feet 1 to 8"."""
    return join(list(dict.fromkeys(_run(list(group)) for _, group in groupby(faces, key=lambda f: (f.name, f.act)))))


def _run(faces: Sequence[Face]) -> str:
    name = named(faces[0].name) or "the face"
    if faces[0].count == 1:
        return name
    numbers = [face.index for face in faces]
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))):
        return f"{name} {numbers[0]} to {numbers[-1]}"
    return f"{name} {join([str(n) for n in numbers])}"


def _fold_sentences(spell: Spell) -> Iterator[str]:
    for role, way in ((Role.VALLEY, "up, towards you"), (Role.MOUNTAIN, "back, away from you")):
        folds = [fold for fold in spell.folds if seen_role(fold, spell) is role]
        if folds:
            noun, verb = plural(len(folds), *FOLD_NOUNS[role]), plural(len(folds), "folds", "fold")
            yield f"The {noun} {verb} {way}{_angles(folds)}."


def _angles(folds: Sequence[Fold]) -> str:
    angles = {fold.angle for fold in folds}
    angle = angles.pop() if len(angles) == 1 else None
    return f", by {degrees(angle)}" if angle is not None else ""


def _size(spell: Spell, drawn: Plan, other: Plan | None, system: str) -> str | None:
    """How large the piece is as it lies."""
    wide, high = size_twins(spell, drawn, other, first=spell.makes_piece)
    across, up = listed([wide], system), listed([high], system)
    if spell.piece.kind == "ribbon":
        return f"{named(spell.piece.name)} {across} long" if across else None
    return f"{named(spell.piece.name)} {across} wide and {up} high" if across and up else None


def _places(measures: Sequence[Measure], system: str) -> Iterator[str | None]:
    """"scores at 30, 60 and 90 mm from the left edge", series by series."""
    found: dict[tuple[str, Side], list[Twin]] = {}
    for measure in measures:
        if measure.series != "size":
            found.setdefault((measure.series, measure.side), []).append(measure.twin)
    for (series, side), twins in found.items():
        words = listed(twins, system)
        yield f"{_noun(series, twins)} at {words} from the {side} edge" if words else None


def _noun(series: str, twins: Sequence[Twin]) -> str:
    one, many = ("cut edge", "cut edges") if series == "cut edge" else NOUNS[series.split(" ", 1)[0]]
    return plural(len(twins), one, many)
