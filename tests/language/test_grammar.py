"""The grammar page is true: every example gives the measures, or the findings, that stand beside it."""
from __future__ import annotations

import re

import pytest

from generator.findings import Finding, Severity, render_all
from generator.language.evaluation.registry import REGISTRY
from generator.language.parts import built_in_parts
from generator.tutorial import ComputedValue, load_text
from generator.units import default_bench
from tests.language.grammar_examples import PAGE, Example, examples

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
SECTIONS = ("Statements", "Sums", "Spans", "Groups", "Selection",
            "Places and the edges they are measured from", "Shapes",
            "Patterns", "Cuts replace scores", "Turning", "Angles", "Requirements", "Parts",
            "Prose functions", "Nets")


def lines_told(found: Finding) -> list[int]:
    """Its own line, and those in which the same is wrong: of many findings the same is told once."""
    also = re.search(r" \(also in lines? ([\d, ]+)\)", found.message)
    return [found.line, *(int(line) for line in (also[1].split(", ") if also else ()))]


@pytest.mark.parametrize("example", examples(), ids=str)
def test_an_example(example: Example):
    """It says in both editions what the page says, and nothing is found that the page does not name."""
    loaded = load_text(example.source, "grammar.md", BENCHES)
    errors = [f for f in loaded.findings if f.severity is Severity.ERROR]
    codes = tuple(f.code for f in errors for _ in lines_told(f))
    assert codes == example.finds, render_all(errors, {"grammar.md": loaded.source})
    if example.finds:
        assert loaded.tutorial is None
        return
    inlays = [part for part in loaded.tutorial.steps[0].prose if isinstance(part, ComputedValue)]
    said = tuple((i.expression, i.wordings["mm"].text, i.wordings["in"].text) for i in inlays)
    assert said == example.gives


def test_the_page_has_its_sections():
    """Every part of the language has a section, and no section is without an example."""
    titles = {example.title for example in examples()}
    assert titles >= set(SECTIONS)
    headings = {row[3:] for row in PAGE.read_text(encoding="utf-8").split("\n") if row.startswith("## ")}
    assert headings - titles == {"An example"}      # the heading within the frame


def test_the_page_shows_every_call():
    """Each call of the registry is used in an example that goes well."""
    text = "\n".join(example.source for example in examples() if not example.finds)
    assert [name for name in REGISTRY if f"{name}(" not in text] == []


def test_the_page_shows_every_part():
    """Each part that comes along is used in an example that goes well."""
    text = "\n".join(example.source for example in examples() if not example.finds)
    assert [name for name in built_in_parts() if f"{name}(" not in text] == []
