"""Measurements typed by hand in prose, and the expression that would say the same.

Named lengths that nothing uses.

Photos that show a length which is no longer so.

Letters of titles and names that the font of the drawings lacks.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from generator.drawing import missing_letters
from generator.findings import Finding, Span, finding
from generator.language.evaluation.evaluate import Evaluation
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import PhotoLength
from generator.language.source.records import Document, InlineExpression, Prose
from generator.language.source.typed_measures import typed_measures
from generator.language.syntax.nodes import Statement, names_in
from generator.language.syntax.parser import parse_expression
from generator.paper.records import Mark
from generator.paper.values import Group, PartResults, Piece
from generator.units import Quantity, distinct_texts


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


def unused_names(document: Document, front: FrontMatter, statements: Sequence[Statement]) -> list[Finding]:
    """A warning for each name of the front matter that neither a statement nor the prose mentions."""
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
            for name in names if name not in mentioned and name in front.spans]


def _all_prose(document: Document, front: FrontMatter) -> list[Prose]:
    found = [document.intro, *front.supplies]
    for step in document.steps:
        found.append(step.heading)
        found.extend(block for block in step.blocks if isinstance(block, Prose))
    return found


def stale_photos(front: FrontMatter, document: Document) -> Iterator[Finding]:
    """A warning for each photo whose lengths have changed; a finding for unknown photos and lengths."""
    used = {photo.src for photo in document.photos}
    for name in dict.fromkeys(shown.photo for shown in front.shown):
        shown = [each for each in front.shown if each.photo == name]
        if name not in used:
            yield finding("photo-missing", shown[0].span, f"no step shows a photo “{name}”",
                          f"its photos are {', '.join(sorted(used))}" if used
                          else "put it into its step, or take it out here")
        yield from _unknown_lengths(front, shown)
        yield from _changed_lengths(front, name, shown)


def _unknown_lengths(front: FrontMatter, shown: Iterable[PhotoLength]) -> Iterator[Finding]:
    for each in shown:
        if each.name not in front.lengths[each.system]:
            yield finding("name-unknown", each.span, f"no length of this design is called “{each.name}”",
                          f"its lengths are {', '.join(front.lengths[front.drawn_in])}")


def _changed_lengths(front: FrontMatter, name: str, shown: Iterable[PhotoLength]) -> Iterator[Finding]:
    changed = [each for each in shown if each.name in front.lengths[each.system]
               and front.lengths[each.system][each.name].value != each.size.value]
    if changed:
        comparisons = ", ".join("“{}” {}, which is now {}".format(each.name, *distinct_texts(
            (each.size, front.lengths[each.system][each.name]), each.system)) for each in changed)
        yield finding("photo-stale", changed[0].span, f"the photo “{name}” shows {comparisons}",
                      "take the photo again and write what it shows now")


def letters_not_in_font(document: Document, texts: Iterable[str]) -> Iterator[Finding]:
    """A warning for each of the ``texts`` that pictures, templates and cards cannot show as it is written."""
    for text in texts:
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
