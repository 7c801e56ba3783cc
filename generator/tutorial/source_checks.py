"""Measurements typed by hand in prose, and the expression that would say the same.

Named lengths that nothing uses.

Photos that show a length which is no longer so.

Letters of titles and names that the font of the drawings lacks.

Names of small letters and bars: pictures, cards and templates show words of the reader's language, which the
author says under ``names:``, in the tutorial and in each translation.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set

from shapely.geometry.base import BaseGeometry

from generator.drawing.paper_colours import paper_fault, visible_colour
from generator.drawing.typeface import missing_letters
from generator.findings import Finding, Span, finding, has_errors
from generator.geometry import Region
from generator.geometry.tolerances import NEGLIGIBLE_AREA
from generator.language.evaluation.application import did_you_mean
from generator.language.evaluation.editions import Editions
from generator.language.evaluation.evaluate import Evaluation
from generator.language.front_matter import FrontMatter
from generator.language.source.records import Document, InlineExpression, Prose
from generator.language.source.typed_measures import typed_measures
from generator.language.syntax.nodes import Statement, names_in
from generator.language.syntax.parser import parse_expression
from generator.locale import Locale
from generator.paper.records import Face, Glue, Mark, Plan
from generator.paper.values import Group, PartResults, Piece
from generator.paper.work_kinds import Effect
from generator.units import Quantity


def typed_by_hand(document: Document, drawn: Evaluation) -> tuple[Finding, ...]:
    """A warning for each; it names the expression to use where one of the plan's measures is the same."""
    known = _known_measures(drawn)
    return typed_measures(document, lambda measure: known.get(measure.value, ""))


def _known_measures(drawn: Evaluation) -> dict[object, str]:
    found: dict[object, str] = {}
    named = [(name, binding.value) for name, binding in drawn.names.items()]
    of_parts = [(f"{name}.{each}", value[each]) for name, value in named if isinstance(value, PartResults)
                for each in value.names]
    for name, value in [*named, *of_parts]:
        if isinstance(value, Quantity) and value.power == 1:
            found.setdefault(value.value, f"{{{{ {name} }}}}")
        elif isinstance(value, Mark) and value.position is not None:
            found.setdefault(value.position.value, f"{{{{ {name}.marks }}}}")
        elif isinstance(value, Group):
            _add_group(found, name, value)
        elif isinstance(value, Piece):
            state = drawn.plan.final_state(value.id)
            found.setdefault(state.width.value, f"{{{{ {name}.width }}}}")
            found.setdefault(state.height.value, f"{{{{ {name}.height }}}}")
    return found


def _add_group(found: dict[object, str], name: str, group: Group[object]) -> None:
    for k, item in enumerate(group.items, start=1):
        if isinstance(item, Mark) and item.position is not None:
            found.setdefault(item.position.value, f"{{{{ {name}[{k}].marks }}}}")
        elif isinstance(item, Quantity) and item.power == 1:
            found.setdefault(item.value, f"{{{{ {name}[{k}] }}}}")


def unused_names(document: Document, front: FrontMatter, statements: Sequence[Statement],
                 drawn: Evaluation) -> list[Finding]:
    """A warning for each length and each named face that neither a statement nor the prose mentions."""
    mentioned: set[str] = set()
    for statement in statements:
        mentioned.update(names_in(statement.value))
    for prose in _all_prose(document, front):
        for part in prose.parts:
            if isinstance(part, InlineExpression):
                expr, _ = parse_expression(part.text, part.span)
                mentioned.update(names_in(expr) if expr is not None else ())
    names = (*front.counts, *front.lengths[front.drawn_in], *front.papers)
    given_twice = front.lengths[front.drawn_in].keys() - front.tools
    return [finding("length-unused", front.spans[name], f"nothing uses '{name}'",
                    "use it in a fence, or leave it out"
                    + (" here and in the editions" if name in given_twice else ""))
            for name in names if name not in mentioned and name in front.spans] + [
            finding("face-unused", drawn.names[name].span, f"'{name}' is named, and nothing is done with it",
                    "glue it, or glue something to it; or leave the name out")
            for name in ([] if has_errors(drawn.findings) else _idle_faces(mentioned, drawn))]


def _area(face: Face) -> BaseGeometry:
    return Region(face.outline).polygon().buffer(0)


def _idle_faces(mentioned: Set[str], drawn: Evaluation) -> Iterator[str]:
    """Names of faces that nothing mentions, and of which no part is mentioned by another name."""
    values = {name: binding.value for name, binding in drawn.names.items()}
    named = {face for act in drawn.plan.acts if act.effect is Effect.NAME for face in act.faces}
    faces = {name: [item for item in (value.items if isinstance(value, Group) else (value,))
                    if isinstance(item, Face) and item.id in named] for name, value in values.items()}
    used = [face for name in mentioned & faces.keys() for face in faces[name]]
    for name, own in faces.items():
        if name not in mentioned and own and not any(
                face.piece == other.piece and _area(face).intersection(_area(other)).area > NEGLIGIBLE_AREA
                for face in own for other in used):
            yield name


def _all_prose(document: Document, front: FrontMatter) -> list[Prose]:
    found = [document.intro, *front.supplies]
    for step in document.steps:
        found.extend(step.words)
    return found


def paper_colours(front: FrontMatter) -> Iterator[Finding]:
    """A finding for each coloured side of a paper that does not stand out in the pictures."""
    for (name, side), span in front.colours_at.items():
        paper = front.papers[name]
        sides = {"printed": paper.printed, "plain": paper.plain}
        if why := paper_fault(sides, side):
            near = visible_colour(sides, side)
            yield finding("paper-colour", span, f"the {side} side of “{name}” {why}",
                          f'write "{near}", the nearest that can be seen' if near
                          else "give the other side a colour that differs more, or take one of the two out")


# what is neither ASCII nor a letter or sign of Latin that every font of pictures has
_UNCOMMON = re.compile("[^\x00-~\xa0-\xac\xae-\u017f–—‘’‚“”„…]")


def letters_not_in_font(document: Document, texts: Iterable[str]) -> Iterator[Finding]:
    """A warning for each of the ``texts`` that pictures, templates and cards cannot show as it is written."""
    strange = [text for text in texts if _UNCOMMON.search(text)]
    if not strange:     # the font need not be read to know that it has the rest
        return
    for text in strange:
        if letters := missing_letters(text):
            yield finding("template-letters", _first_place(document, letters[0]),
                          f"the font of pictures, templates and cards lacks {' '.join(letters)}: an empty "
                          "box "
                          "stands there in print", "nothing is wrong with the page itself; write titles and "
                          "names in Latin, Greek or Cyrillic letters to see them everywhere")


def _first_place(document: Document, character: str) -> Span:
    for number, line in enumerate(document.text.splitlines(), start=1):
        if character in line:
            return Span(document.file, number, line.index(character) + 1)
    return Span(document.file)


MAX_LISTED_NAMES = 12     # in one message
CODE_LIKE = re.compile(r"[_\d]|^.$")      # in the last part of a name: bars, figures, a single letter


def shown_names(plan: Plan) -> tuple[str, ...]:
    """All names that pictures and cards show to readers: of pieces, papers, marks and glued faces."""
    shown = dict.fromkeys(info.name for info in plan.pieces)
    shown |= dict.fromkeys(info.paper.name for info in plan.pieces if info.paper is not None)
    shown |= dict.fromkeys(mark.name for info in plan.pieces for mark in plan.final_state(info.id).marks
                           if mark.name)
    shown |= dict.fromkeys(face.name for act in plan.acts if isinstance(act.detail, Glue)
                           for face in (*act.detail.faces, *act.detail.target) if face.name)
    return tuple(name for name in shown if name)


def unknown_names(spans: Mapping[str, Span], editions: Editions) -> Iterator[Finding]:
    """A finding for each name that is given words, at its span, and that the source does not make."""
    known = {name for edition in editions.evaluations.values() for name in edition.names}
    shown = {name for edition in editions.evaluations.values() for name in shown_names(edition.plan)}
    # of what a part gave, "rim.front", also "front"
    known |= shown | {_last_part(name) for name in shown}
    for name, span in spans.items():
        if name not in known:
            yield finding("name-unknown", span, f"the tutorial makes nothing of the name '{name}'",
                          did_you_mean(name, known, "take it out"))


def untranslated_names(plan: Plan, words: Locale, span: Span) -> Iterator[Finding]:
    """Names that pictures and cards show to readers, and that have no words in this language."""
    if lacking := _unworded(plan, words.names):
        yield finding("translation-names", span,
                      "pictures and cards show these names as they stand in the source: "
                      + _listed(lacking),
                      "say under names: what each is called in this language")


def code_like_names(front: FrontMatter, plan: Plan) -> Iterator[Finding]:
    """Names that pictures and cards show to readers, and that are no words of their language."""
    lacking = [name for name in _unworded(plan, front.names)
               if CODE_LIKE.search(_last_part(name).rstrip("_"))]
    if lacking:
        span = next(iter(front.names_at.values()), Span(front.file, 1, 1, 3))
        yield finding("reader-names", span,
                      f"pictures and cards show these names to readers: {_listed(lacking)}",
                      f"say under names: what each is called, such as {lacking[0]}: "
                      f"{_last_part(lacking[0]).replace('_', ' ')}")


def _unworded(plan: Plan, words: Mapping[str, str]) -> list[str]:
    return [name for name in shown_names(plan) if name not in words and _last_part(name) not in words]


def _listed(names: Sequence[str]) -> str:
    more = len(names) - MAX_LISTED_NAMES
    return ", ".join(names[:MAX_LISTED_NAMES]) + (f" and {more} more" if more > 0 else "")


def _last_part(name: str) -> str:
    return name.rpartition(".")[2]
