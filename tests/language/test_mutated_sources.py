"""Whatever is done to a source, reading it gives findings and never an error."""
from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from generator.findings import Finding, has_errors, render_all
from generator.language.front_matter import read_front_matter
from generator.language.source.document import check_photos, read_document, read_source
from generator.language.source.records import InlineExpression, Prose
from generator.language.source.typed_measures import typed_measures
from generator.language.syntax.parser import parse_expression, parse_fence
from tests.language.parsing_helpers import CADDY
from tests.time_limits import examples

pytestmark = pytest.mark.slow
PIECES = ["---", "\n", "\n\n", "##", "## ", "```", "```geometry\n", "~~~", "{{", "}}", "![", "](", "<!--",
          "-->", "`", "\\", ":", ": ",
          "{", "}", "[", "]", "(", ")", "\"", "'", "“", "=", "==", "..", ".", ",", "-", "−", "×", "not ",
          " and ", "1/0 deg", "0 mm",
          "1 1/4 in", "99999999999999999999", "- ", "\t", "&a ", "*a", "!!int ", "null", "true", "# ", "%",
          "@", "é", "😀", "\x00",
          "\u2028", "\r", "\ufeff", "\ud800", " " * 50, "-" * 300, "(" * 300, "lengths:", "panel", "in: ",
          "drawn_in: in\n"]


MAY_BE_FOUND = {"file-empty", "front-missing", "step-missing", "step-untitled", "braces-open", "fence-open",
                "words-wrong",
                "sign-unknown"}


def mutations():
    """A list of changes: each puts a piece, or a stretch of the source itself, in the place of a stretch."""
    at, length = st.integers(0, len(CADDY)), st.sampled_from([0, 0, 1, 2, 5, 20, 200])
    piece = st.one_of(st.sampled_from(PIECES), st.text(max_size=4),
                      st.tuples(at, st.integers(1, 60)).map(lambda cut: CADDY[cut[0]:cut[0] + cut[1]]))
    return st.lists(st.tuples(at, length, piece), min_size=1, max_size=4)


def mutated(changes) -> str:
    """The first tutorial after these changes."""
    text = CADDY
    for at, length, piece in changes:
        text = text[:at] + piece + text[at + length:]
    return text


def read_all(text: str) -> list[Finding]:
    """Everything wrong that this room can find in a source."""
    document = read_document("box.md", text)
    front, findings = read_front_matter(document, frozenset({"plain", "top"}))
    found = [*document.findings, *findings, *typed_measures(document, lambda _: ""),
             *check_photos(document, lambda path: path == "strip.jpg")]
    for step in document.steps:
        for fence in step.fences:
            found += parse_fence(fence.statements_text, document.file, fence.first_line)[1]
    prose = [document.intro, *(front.supplies if front else ())]
    prose += [b for s in document.steps for b in (s.heading, *s.blocks) if isinstance(b, Prose)]
    for part in (p for each in prose for p in each.parts if isinstance(p, InlineExpression)):
        found += parse_expression(part.text, part.span)[1]
    return found


def test_the_source_itself_is_right():
    """Before it is changed nothing is wrong with it."""
    assert read_all(CADDY) == []


@settings(deadline=None, max_examples=examples(200))
@given(mutations())
@example([(0, len(CADDY), "")])
@example([(0, 4, "")])
def test_no_change_gives_an_error(changes):
    """Every finding stands at a place that is in the source, and all of them can be printed."""
    text = mutated(changes)
    rows = read_document("box.md", text).text.split("\n")
    found = read_all(text)
    for each in found:
        assert 1 <= each.line <= len(rows) + 1, each
        row = rows[each.line - 1] if each.line <= len(rows) else ""
        assert 1 <= each.column <= len(row) + 1, each
        assert each.message and each.span.length >= 1
    if found:
        assert render_all(found, {"box.md": text}).endswith(("error", "errors", "warning", "warnings"))


@settings(deadline=None, max_examples=examples(100))
@given(st.binary(max_size=60), st.integers(0, len(CADDY)))
def test_no_bytes_give_an_error(tmp_path_factory, raw, at):
    """A file of any bytes is read, or refused with a finding."""
    changed = CADDY.encode()[:at] + raw + CADDY.encode()[at:]
    path = tmp_path_factory.getbasetemp() / "index.md"
    path.write_bytes(changed)
    text, findings = read_source(path, "box.md")
    assert (text is None) == bool(findings)
    if text is not None:
        read_all(text)


def test_a_source_that_breaks_off():
    """A file saved by half is an error up to its first step, and is read as far as it goes after that."""
    first_step = CADDY.index("## Cut")
    for cut in range(0, len(CADDY), 3):
        found = read_all(CADDY[:cut])
        assert has_errors(found) or cut > first_step, cut
        assert {f.code for f in found} <= MAY_BE_FOUND, cut
