"""The record of a problem: codes, severities, order and doubles."""
from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.findings import (
    FindingError,
    Severity,
    Span,
    capped_findings,
    finding,
    finding_error,
    has_errors,
    sorted_findings,
)
from generator.findings.codes import CODES
from generator.findings.printing import MAX_PER_CODE

FILE = "index.md"
spans = st.builds(Span, st.sampled_from(["a.md", "b.md"]), st.integers(1, 5), st.integers(1, 5))
findings = st.builds(finding, st.sampled_from(sorted(CODES)), spans,
                     st.sampled_from(["too long", "too short"]))


@pytest.mark.parametrize("code", CODES)
def test_every_code_has_a_severity_and_a_meaning(code):
    """Each is an error or a warning, is spelt in small letters, and is explained in a whole sentence."""
    assert Severity(CODES[code].severity) in (Severity.ERROR, Severity.WARNING)
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", code)
    assert CODES[code].meaning[0].isupper() and CODES[code].meaning.endswith(".")
    assert finding(code, Span(FILE), "…").severity == CODES[code].severity


def test_a_code_that_is_not_listed_cannot_be_reported():
    """No message goes out that DEVELOPERS.md does not explain."""
    with pytest.raises(KeyError):
        finding("paper-sad", Span(FILE), "the paper is sad")


def test_a_severity_may_be_raised_by_who_reports():
    """A mark off its grid is a warning in the drawn edition and an error in the regauged one."""
    assert finding("off-grid", Span(FILE), "…").severity is Severity.WARNING
    assert finding("off-grid", Span(FILE), "…", severity=Severity.ERROR).severity is Severity.ERROR


def test_a_finding_knows_its_place():
    """File, line and column are those of its span."""
    found = finding("off-grid", Span(FILE, 3, 7, 2), "…")
    assert (found.file, found.line, found.column) == (FILE, 3, 7)
    assert str(found.span) == "index.md:3:7"
    assert Span(FILE) == Span(FILE, 1, 1, 1), "a fault of the whole file is shown at its first sign"


def test_only_errors_stop_the_build():
    """Warnings alone let it go on; one error among them does not."""
    warning, error = finding("off-grid", Span(FILE), "…"), finding("name-unknown", Span(FILE), "…")
    assert not has_errors([]) and not has_errors([warning])
    assert has_errors([warning, error])
    assert has_errors(iter([error]))


def test_trouble_carries_its_findings():
    """What stops a statement brings along all that is wrong with it, and reads as its messages."""
    one = finding_error("name-unknown", Span(FILE, 2), "nothing has made lid", "make it first")
    assert one.findings == (finding("name-unknown", Span(FILE, 2), "nothing has made lid", "make it first"),)
    two = FindingError(*one.findings, finding("name-early", Span(FILE, 3), "foot comes later"))
    assert len(two.findings) == 2 and str(two) == "nothing has made lid; foot comes later"


def test_findings_stand_in_the_order_of_the_source():
    """By file, line and column; an error and a warning side by side keep the order they were found in."""
    def at(file, line, column, code="name-unknown"):
        return finding(code, Span(file, line, column), "…")
    found = [at("b.md", 1, 1), at("a.md", 10, 1), at("a.md", 2, 9), at("a.md", 2, 1, "off-grid"),
             at("a.md", 2, 1)]
    assert [(f.file, f.line, f.column, f.code) for f in sorted_findings(found)] == [
        ("a.md", 2, 1, "off-grid"), ("a.md", 2, 1, "name-unknown"), ("a.md", 2, 9, "name-unknown"),
        ("a.md", 10, 1, "name-unknown"), ("b.md", 1, 1, "name-unknown")]


def test_doubles_are_said_once():
    """The two editions find the same fault; it is printed once.

    Another message at the same place is another fault.
    """
    same = [finding("expect-fails", Span(FILE, 4), "the lid is too small") for _ in range(2)]
    other = finding("expect-fails", Span(FILE, 4), "the lid is too large")
    assert sorted_findings([*same, other]) == [same[0], other]


@settings(deadline=None)
@given(st.lists(findings, max_size=30))
def test_nothing_is_lost_and_nothing_is_said_twice(found):
    """Ordering keeps each different finding once, and does nothing more when done again."""
    ordered = sorted_findings(found)
    assert set(ordered) == set(found) and len(ordered) == len(set(found))
    assert sorted_findings(ordered) == ordered


def test_the_same_mistake_a_thousand_times_is_listed_forty_times():
    """Past forty of one code the last one listed says how many more there are; other codes are not
    touched.
    """
    alike = [finding("sign-unknown", Span(FILE, n), "what is this?") for n in range(1, 1001)]
    other = finding("name-early", Span(FILE, 2000), "foot comes later")
    kept = capped_findings([other, *alike])
    assert len(kept) == MAX_PER_CODE + 1 and kept[-1] == other
    assert kept[:MAX_PER_CODE - 1] == tuple(alike[:MAX_PER_CODE - 1])
    assert kept[MAX_PER_CODE - 1].message == "what is this? (and 960 more like this, not listed)"
    assert capped_findings(alike[:MAX_PER_CODE]) == tuple(alike[:MAX_PER_CODE])


def test_no_error_is_lost_among_warnings():
    """Where warnings and errors share a code, the error that stops the build is still listed."""
    warnings = [finding("off-grid", Span(FILE, n), "…") for n in range(1, 100)]
    error = finding("off-grid", Span(FILE, 100), "…", severity=Severity.ERROR)
    assert has_errors(capped_findings([*warnings, error]))


@pytest.mark.parametrize(("start", "end", "length"), [
    (Span(FILE, 1, 3, 2), Span(FILE, 1, 8, 4), 9),      # from 3 to 11
    (Span(FILE, 1, 3, 9), Span(FILE, 1, 5, 2), 9),      # the second lies in the first
    (Span(FILE, 1, 3, 2), Span(FILE, 2, 8, 4), 2),      # on a later line: cut at the end of the first
    (Span(FILE, 1, 8, 4), Span(FILE, 1, 3, 2), 4),      # backwards: nothing to join
])
def test_a_stretch_from_one_span_to_another(start, end, length):
    """Two spans of one line join to the stretch from the first to the end of the second."""
    assert start.to(end) == Span(start.file, start.line, start.column, length)
