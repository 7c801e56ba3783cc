"""Measurements typed by hand in prose, and the expression that would say the same."""
from __future__ import annotations

from generator.findings import Finding
from generator.language.evaluation.evaluate import Evaluation
from generator.language.source.records import Document
from generator.language.source.typed_measures import typed_measures
from generator.paper.records import Mark
from generator.paper.values import Group, PartResults, Piece
from generator.units import Quantity


def typed_by_hand(document: Document, drawn: Evaluation) -> tuple[Finding, ...]:
    """A warning for each; it names the expression to use where one of the plan's measures is the same."""
    known = _known(drawn)
    return typed_measures(document, lambda measure: known.get(measure.value, ""))


def _known(drawn: Evaluation) -> dict[object, str]:
    found: dict[object, str] = {}
    named = [(name, binding.value) for name, binding in drawn.names.items()]
    of_parts = [(f"{name}.{each}", value[each]) for name, value in named if isinstance(value, PartResults) for each in value.names]
    for name, value in [*named, *of_parts]:
        if isinstance(value, Quantity) and value.power == 1:
            found.setdefault(value.value, f"{{{{ {name} }}}}")
        elif isinstance(value, Mark) and value.position is not None:
            found.setdefault(value.position.value, f"{{{{ {name}.marks }}}}")
        elif isinstance(value, Group):
            _of_group(found, name, value)
        elif isinstance(value, Piece):
            state = drawn.plan.state(value.id)
            found.setdefault(state.width.value, f"{{{{ {name}.width }}}}")
            found.setdefault(state.height.value, f"{{{{ {name}.height }}}}")
    return found


def _of_group(found: dict[object, str], name: str, group: Group) -> None:
    for k, item in enumerate(group.items, start=1):
        if isinstance(item, Mark) and item.position is not None:
            found.setdefault(item.position.value, f"{{{{ {name}[{k}].marks }}}}")
        elif isinstance(item, Quantity) and item.power == 1:
            found.setdefault(item.value, f"{{{{ {name}[{k}] }}}}")
