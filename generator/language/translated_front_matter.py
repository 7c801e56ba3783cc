"""The front matter of a translation: what is said in it, and nothing that the tutorial itself decides."""
from __future__ import annotations

from collections.abc import Mapping

from pydantic import BaseModel, ConfigDict, ValidationError

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, Span, finding
from generator.language.front_matter import Credit
from generator.language.source.front_matter_checks import span_of, validation_findings
from generator.language.source.front_matter_models import CreditModel, FrontModel, Supply, Text
from generator.language.source.markdown import read_inline
from generator.language.source.records import Document, Prose
from generator.language.source.yaml_tree import KeyPath, YamlTree, read_tree
from generator.units import FrozenRecord


class TranslationModel(BaseModel):
    """All keys of a translation. ``names`` says what readers call the names of the source."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)

    title: Text | None = None
    summary: Text = ""
    supplies: list[Supply] = []
    holds: Text | None = None
    names: dict[str, Text] = {}
    credit: CreditModel = CreditModel()
    follows: Text = ""


_MODELS: Mapping[KeyPath, type[BaseModel]] = {(): TranslationModel, ("credit",): CreditModel}


@dataclass(frozen=True, slots=True)
class TranslatedFrontMatter(FrozenRecord):
    """What the front matter of a translation says; ``spans`` is where each of its ``names`` stands.

    ``follows`` are digests of the words that it was made from, where somebody noted them.
    """

    title: str
    summary: str
    supplies: tuple[Prose, ...] = ()
    holds: str = ""
    names: Mapping[str, str] = field(default_factory=dict)
    credit: Credit = Credit()
    spans: Mapping[str, Span] = field(default_factory=dict)
    names_span: Span = Span("")
    follows: tuple[str, ...] = ()


def read_translated_front_matter(document: Document) -> tuple[TranslatedFrontMatter | None,
                                                              tuple[Finding, ...]]:
    """Everything it says, and everything that is wrong with it; None where it cannot be read."""
    if document.front is None:
        return None, ()
    tree, findings = read_tree(document.front, document.file)
    if tree is None:
        return None, findings
    if not tree.values:
        tree.values[()] = Span(document.file, 1, 1, 3)
    try:
        model = TranslationModel.model_validate(tree.data)
    except ValidationError as errors:
        return None, (*findings,
                      *(_explain_misplaced_key(f, tree) for f in validation_findings(errors, tree, _MODELS)))
    if model.title is None:
        return None, (*findings,
                      finding("front-value", Span(document.file, 1, 1, 3), "this translation has no title",
                                         "write title: and what the tutorial is called in this language"))
    supplies, wrong = _supplies(model, tree)
    spans = {name: span_of(tree, ("names", name), key=True) for name in model.names}
    names_span = span_of(tree, ("names",), key=True) if model.names else Span(document.file, 1, 1, 3)
    front = TranslatedFrontMatter(model.title, model.summary, supplies, model.holds or "", dict(model.names),
                                  Credit(**model.credit.model_dump()), spans, names_span,
                                  tuple(model.follows.split()))
    return front, (*findings, *wrong)


def _explain_misplaced_key(found: Finding, tree: YamlTree) -> Finding:
    """Of a key that belongs to the tutorial itself, say so."""
    key = next((path[0] for path, span in tree.keys.items() if len(path) == 1 and span == found.span), "")
    if found.code != "front-key" or key not in FrontModel.model_fields:
        return found
    return replace(found,
                   message=f"“{key}” holds for the tutorial in every language, so it has no place here",
                   hint=f"take it out; a translation has {', '.join(TranslationModel.model_fields)}")


def _supplies(model: TranslationModel, tree: YamlTree) -> tuple[tuple[Prose, ...], list[Finding]]:
    read, findings = [], []
    for i, text in enumerate(model.supplies):
        span, raw = span_of(tree, ("supplies", i)), tree.raw.get(("supplies", i), "")
        quoted = len(raw) > 1 and raw[0] in "\"'" and raw[1:-1] == text
        found = read_inline(text, span.file, span.line, span.column + quoted)
        read.append(found.prose)
        findings += found.findings
    return tuple(read), findings
