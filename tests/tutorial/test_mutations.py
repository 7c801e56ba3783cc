"""Whatever a slip of the pen makes of a tutorial, loading it gives findings within a moment and never an error."""
from __future__ import annotations

import re
import time

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.findings import has_errors, render_all
from generator.language.registry import REGISTRY
from generator.paper.calls import VOCABULARY
from generator.tutorial import load_text
from generator.tutorial.measures import as_data, table
from generator.tutorial.why import chain
from tests.language.tutorials import BENCHES, FOLDER

SOURCES = {path.stem: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.md"))}
TOKEN = re.compile(r"[a-z_]\w*|\d+|\.\.|[^\w\s]")
SLOWEST = 20.0      # seconds for one source on a busy machine; the largest of the tests needs a hundredth of it
STRANGE = ("0", "1", "2", "3", "1/3", "-1", "1000", "..", ",", "(", ")", "=", ".all", ".each", ".bays", ".first", "[1]", "[2..3]",
           "0 deg", "360 deg", "\"words\"", "nothing_such", "card", "panel", "side", "group(top, left)", "every(panel, 3)")
WORDS = (*sorted(REGISTRY), *sorted(VOCABULARY), *STRANGE)


def fence_tokens(text: str) -> list[tuple[int, int]]:
    """Where the words and signs of the fences and expressions stand."""
    inner = [m.span(1) for m in re.finditer(r"```geometry\n(.*?)```|\{\{(.*?)\}\}", text, re.S) if m.group(1)]
    inner += [m.span(1) for m in re.finditer(r"\{\{(.*?)\}\}", text)]
    return sorted((first + m.start(), first + m.end()) for first, last in inner for m in TOKEN.finditer(text[first:last]))


PLACES = {name: fence_tokens(text) for name, text in SOURCES.items()}


@st.composite
def slips(draw: st.DrawFn) -> str:
    """A source in which one to three words of its fences are exchanged, dropped, doubled or taken from elsewhere."""
    name = draw(st.sampled_from(sorted(SOURCES)))
    text, places = SOURCES[name], PLACES[name]
    chosen = draw(st.lists(st.integers(0, len(places) - 1), min_size=1, max_size=3, unique=True))
    for k in sorted(chosen, reverse=True):
        start, end = places[k]
        other = places[draw(st.integers(0, len(places) - 1))]
        word = draw(st.one_of(st.sampled_from(WORDS), st.just(""), st.just(text[start:end] * 2),
                              st.just(SOURCES[name][other[0]:other[1]])))
        text = text[:start] + word + text[end:]
    return text


@settings(deadline=None, max_examples=120)
@given(slips())
def test_a_slip_of_the_pen_is_a_finding(text):
    """Findings print, measures and chains can be asked for, and there is a tutorial exactly where nothing is wrong."""
    began = time.perf_counter()
    loaded = load_text(text, "box.md", BENCHES)
    assert (loaded.tutorial is None) == has_errors(loaded.findings)
    assert all(f.message and 1 <= f.line <= text.count("\n") + 1 and f.column >= 1 for f in loaded.findings)
    assert render_all(loaded.findings, {"box.md": text}) or not loaded.findings
    data = as_data(loaded)
    assert len(data["findings"]) == len(loaded.findings)
    if loaded.tutorial is not None:
        assert table(loaded.tutorial) and all(chain(loaded.tutorial, name)[0] for name in loaded.tutorial.names)
    assert time.perf_counter() - began < SLOWEST


NUMBERS = st.sampled_from(("0 mm", "0.01 mm", "1 mm", "7 mm", "29.5 mm", "333 mm", "9999 mm", "1/64 in", "1 in", "13 3/16 in", "400 in"))


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(sorted(SOURCES)), st.lists(st.tuples(st.integers(0, 30), NUMBERS), min_size=1, max_size=4), st.integers(0, 12))
def test_any_measures_give_a_plan_or_findings(name, changes, count):
    """Lengths and counts of the front matter may be anything a person can type."""
    text = SOURCES[name]
    lengths = [m.span() for m in re.finditer(r"(?<=: )\s*\d[\d /.]*(?:mm|in)\b", text.split("\n---")[0])]
    for k, measure in sorted(changes, reverse=True):
        start, end = lengths[k % len(lengths)]
        if text[start:end].strip().endswith(("mm", "in")):
            text = text[:start] + measure + text[end:]
    text = re.sub(r"(sides|corners): \d+", rf"\1: {count}", text)
    loaded = load_text(text, "box.md", BENCHES)
    assert (loaded.tutorial is None) == has_errors(loaded.findings)
    assert render_all(loaded.findings, {"box.md": text}) or not loaded.findings
