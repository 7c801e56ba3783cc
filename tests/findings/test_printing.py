"""Findings as they are printed: place, message, source line, caret and what would mend it."""
from __future__ import annotations

from textwrap import dedent

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.findings import Finding, Span, finding, gathered_findings, render, render_all
from generator.findings.printing import MAX_EXCERPT_WIDTH

FILE = "tutorials/seed-packet/index.md"
SOURCE = dedent("""\
    ## Score the packet

    ```geometry
    panels = score(strip, x=every(pannel, sides))
    \tflap = cut(strip)
    ```
    """)


def block(text: str) -> str:
    """An expected print, written with the indentation of the test."""
    return dedent(text).strip("\n")


def unknown(column: int = 31, length: int = 6, line: int = 4):
    return finding("name-unknown", Span(FILE, line, column, length), "nothing has made pannel",
                   "did you mean panel?")


def test_a_finding_with_its_line():
    """The whole of it: where, how bad, what, the line with the name underlined, and the way out."""
    assert render(unknown(), SOURCE) == block("""
        tutorials/seed-packet/index.md:4:31: error: nothing has made pannel [name-unknown]
          4 | panels = score(strip, x=every(pannel, sides))
            |                               ^^^^^^
          to mend it: did you mean panel?
    """)


def test_a_finding_without_a_hint_or_a_source():
    """What is not known is left out; nothing empty is printed."""
    bare = finding("file-unreadable", Span(FILE), "the source is not there")
    assert render(bare) == f"{FILE}:1:1: error: the source is not there [file-unreadable]"
    assert render(unknown()) == block(f"""
        {FILE}:4:31: error: nothing has made pannel [name-unknown]
          to mend it: did you mean panel?
    """)


@pytest.mark.parametrize("line", [8, 99])
def test_a_line_that_the_source_does_not_have_is_left_out(line):
    """A place past the end, as in a source that changed meanwhile, prints without its line."""
    assert "|" not in render(unknown(line=line), SOURCE)


@pytest.mark.parametrize("blank", ["", "   ", "\t\r"])
def test_a_line_on_which_nothing_stands_is_left_out(blank):
    """There is nothing to point at on a blank line; its number says enough."""
    assert render(unknown(1, 1, 2), f"## Fold\n{blank}\nText") == block(f"""
        {FILE}:2:1: error: nothing has made pannel [name-unknown]
          to mend it: did you mean panel?
    """)


def test_a_tab_is_one_place_wide():
    """A tab counts as one column, and is printed as one."""
    assert render(finding("call-missing", Span(FILE, 5, 9, 3), "cut needs a place"),
                  SOURCE).split("\n")[1:] == [
        "  5 |  flap = cut(strip)",
        "    |         ^^^"]


def test_signs_that_do_not_print_keep_their_place():
    """A stray control sign is shown as a space, so that the caret still points at what it means."""
    rows = render(unknown(6, 3, 1), "a\r\x1bb cut\r\n").split("\n")
    assert rows[1:3] == ["  1 | a  b cut",
                         "    |      ^^^"]


def test_a_caret_at_the_end_of_a_line():
    """What is missing after the last sign is pointed at there, with one caret."""
    rows = render(unknown(column=12, length=5, line=3), SOURCE).split("\n")
    assert rows[1:3] == ["  3 | ```geometry",
                         "    |            ^"]


def test_line_numbers_of_any_width_line_up():
    """The bar stands under the bar."""
    rows = render(unknown(1, 4, 120), "\n" * 119 + "fold(panels)").split("\n")
    assert rows[1:3] == ["  120 | fold(panels)",
                         "      | ^^^^"]


@pytest.mark.parametrize(("column", "length", "shown", "carets"), [
    (1, 4, "fold" + "a" * (MAX_EXCERPT_WIDTH - 5) + "…", "^^^^"),
    (101, 6, "…" + "a" * 49 + "strip)" + "b" * 43 + "…", " " * 50 + "^^^^^^"),
    (257, 1, "…" + "b" * 99, " " * 50 + "^"),
    (300, 7, "…" + "b" * 49 + "b" * 7, " " * 50 + "^^^^^^^"),
])
def test_a_long_line_is_shown_around_its_caret(column, length, shown, carets):
    """Of a very long line only what is near is shown, with dots where it goes on."""
    line = "fold" + "a" * 96 + "strip)" + "b" * 200
    rows = render(finding("words-wrong", Span(FILE, 1, column, length), "what is this?"), line).split("\n")
    assert rows[1] == f"  1 | {shown}"
    assert rows[2] == f"    | {carets}"


def test_a_caret_never_runs_past_its_line():
    """A stretch said to be longer than its line is underlined to the end of the line."""
    rows = render(unknown(column=1, length=500, line=3), SOURCE).split("\n")
    assert rows[2] == "    | " + "^" * len("```geometry")


printable = st.characters(min_codepoint=32, max_codepoint=0x24f).filter(str.isprintable)


@settings(deadline=None)
@given(st.text(printable, min_size=1, max_size=400).filter(str.strip), st.data())
def test_the_caret_stands_under_its_column(line, data):
    """However long the line, the sign above the first caret is the one in that column."""
    column = data.draw(st.integers(1, len(line)))
    length = data.draw(st.integers(1, 500))
    _, shown, carets = render(finding("sign-unknown", Span(FILE, 1, column, length), "what is this?"),
                              line).split("\n")
    at = carets.index("^")
    assert shown[at] == line[column - 1]
    assert len(shown) <= len("  1 | ") + MAX_EXCERPT_WIDTH
    assert at < len(carets) <= len(shown)
    assert set(carets[at:]) == {"^"}


def test_many_findings_with_their_count():
    """All in order of line, a blank line between two, and at the end how many there are."""
    typed = finding("measure-typed", Span(FILE, 1, 4, 5), "a measurement typed by hand")
    early = finding("name-early", Span(FILE, 5, 2, 4), "flap is used before it is made")
    assert render_all([early, typed, unknown()], {FILE: SOURCE}) == block("""
        tutorials/seed-packet/index.md:1:4: warning: a measurement typed by hand [measure-typed]
          1 | ## Score the packet
            |    ^^^^^

        tutorials/seed-packet/index.md:4:31: error: nothing has made pannel [name-unknown]
          4 | panels = score(strip, x=every(pannel, sides))
            |                               ^^^^^^
          to mend it: did you mean panel?

        tutorials/seed-packet/index.md:5:2: error: flap is used before it is made [name-early]
          5 |  flap = cut(strip)
            |  ^^^^

        2 errors, 1 warning
    """)


@pytest.mark.parametrize(("codes", "count"), [
    (["name-unknown"], "1 error"), (["measure-typed"], "1 warning"),
    (["name-unknown", "name-early"], "2 errors"),
    (["measure-typed", "length-unused"], "2 warnings"),
    (["name-unknown", "measure-typed"], "1 error, 1 warning"),
])
def test_the_count_names_only_what_there_is(codes, count):
    """One is singular, and a kind that does not come up is not counted."""
    assert render_all([finding(c, Span(FILE), c) for c in codes], {}).endswith(f"\n\n{count}")


def test_no_findings_print_nothing():
    """A clean source is silent."""
    assert render_all([], {FILE: SOURCE}) == ""


def test_names_that_nothing_makes_are_gathered():
    """A name in many places is told once with its lines; of many names three, the third with the others; all
    in one where that keeps to three findings what a file has besides.
    """
    def unknown(name: str, line: int) -> Finding:
        return finding("name-unknown", Span(FILE, line), f"nothing is called '{name}'", "")

    (one,) = gathered_findings([unknown("strip", line) for line in (9, 3, 5, 5)])
    assert one.line == 3 and one.message == "nothing is called 'strip' (also in lines 5, 9)"
    other = finding("seam-open", Span(FILE, 1), "these edges stay apart")
    names = [unknown(name, line) for line, name in enumerate("abcde", start=2)]
    found = gathered_findings(names)
    assert [(each.code, each.line) for each in found] == [
        ("name-unknown", 2), ("name-unknown", 3), ("name-unknown", 4)]
    assert found[-1].message == "nothing is called 'c'; nothing is called 'd'; nothing is called 'e'"
    assert found[-1].hint == "a step may be missing"
    found = gathered_findings([other, *names])
    assert [(each.code, each.line) for each in found] == [("seam-open", 1), ("name-unknown", 2)]
    assert found[-1].message == "; ".join(f"nothing is called '{name}'" for name in "abcde")
    two = (unknown("a", 1), unknown("a", 2))
    assert gathered_findings(two) == two


def test_what_follows_from_another_is_not_said():
    """Where a file has more than three: the same is told once, and what a missing name leaves unused not."""
    def found(code: str, line: int, message: str = "x", file: str = FILE) -> Finding:
        return finding(code, Span(file, line), message)

    contradict = [found("folds-contradict", line) for line in (7, 8)]
    told = gathered_findings([found("fold-unknown", 2), *contradict, found("glue-apart", 9), found(
        "score-unfolded", 5), found("length-unused", 3)])
    assert [(each.code, each.line, each.message) for each in told] == [
        ("length-unused", 3, "x"), ("folds-contradict", 7, "x (also in line 8)")]
    unused = [found("length-unused", k, str(k)) for k in (1, 2, 3)]
    told = gathered_findings([found("name-unknown", 9), *unused])
    assert [each.code for each in told] == ["name-unknown"]
    told = gathered_findings([found("fold-unknown", k, str(k)) for k in (4, 5, 6, 7)])
    assert [each.message for each in told] == ["4; 5; 6; 7"]
    unfolded = [found("score-unfolded", k, str(k)) for k in (1, 2)]
    told = gathered_findings([*unfolded, found("closing-open", 8), found("band-short", 9), found(
        "glue-own", 7), found("fold-unknown", 3)])
    assert [(each.code, each.message) for each in told] == [("score-unfolded", "1; 2")]
    few = (found("length-unused", 1), found("name-unknown", 2), found("fold-unknown", 3))
    assert gathered_findings((*few, found("seam-open", 1, file="a.md")))[1:] == few
