"""From the text of a source to its front matter, introduction, steps, fences and photos."""
from __future__ import annotations

import markdown
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import html

from generator.findings import Span
from generator.language.source.document import (
    MAX_SOURCE_LENGTH,
    MAX_STEPS,
    check_photos,
    read_document,
    read_source,
)
from generator.language.source.records import Fence, InlineExpression, MarkdownText, Prose, SourcePhoto
from tests.language.parsing_helpers import CADDY, source, told
from tests.time_limits import examples, within


def words(prose: Prose) -> str:
    """Prose with its expressions in angle brackets."""
    return "".join(f"<{p.text}>" if isinstance(p, InlineExpression) else p.text for p in prose.parts)


def test_the_caddy_is_split_up():
    """The first tutorial has its introduction and its steps, each with its blocks, in order."""
    document = read_document("caddy.md", CADDY)
    assert document.findings == ()
    assert words(document.intro).strip().endswith("is gathered by <words(sides)> folds.")
    cut, panels = document.steps
    assert (cut.number, cut.title, cut.line) == (1, "Cut the strip",
                                                 CADDY.split("\n").index("## Cut the strip") + 1)
    assert [type(b) for b in cut.blocks] == [Prose, SourcePhoto, Fence]
    assert [type(b) for b in panels.blocks] == [Prose, Fence, Prose, Fence]
    assert words(panels.heading) == "Score <words(sides)> panels"
    assert panels.title == "Score {{ words(sides) }} panels"
    assert document.photos == (cut.blocks[1],)


def test_a_short_line_stands_right_below_its_heading():
    """It is no prose of the step, goes on to the next blank line, and knows its places."""
    text = ("---\ntitle: a\n---\n\n## Cut\n\nshort: Cut it, {{ a }}\n  by {{ b }}.\n\nWords.\n\n"
            "## Score\nshort: Once\n## Fold\n\nWords.\n\nshort: late\n")
    document = read_document("x.md", text)
    cut, score, fold = document.steps
    assert (words(cut.short), words(score.short), words(fold.short)) == ("Cut it, <a>\n  by <b>.", "Once", "")
    assert [words(block).strip() for step in (cut, score, fold) for block in step.blocks] == [
        "Words.", "Words.\n\nshort: late"]
    rows = text.split("\n")
    # one that stands elsewhere is prose, which nobody means; a line within a paragraph is
    assert [each.line for each in document.findings if each.code == "short-stray"] == [
        rows.index("short: late") + 1]
    assert not read_document("x.md", text.replace("\n\nshort: late", "\nshort: late")).findings
    for part in cut.short.parts:
        if isinstance(part, InlineExpression):
            assert rows[part.span.line - 1][part.span.column - 1] == part.text


def test_every_place_is_true():
    """Fences, expressions and photos know where they stand in the file."""
    rows = CADDY.split("\n")
    document = read_document("caddy.md", CADDY)
    for step in document.steps:
        for fence in step.fences:
            first = fence.statements_text.split("\n")[0]
            assert rows[fence.first_line - 1] == first
    braces = [p for s in document.steps for b in (s.heading, *s.blocks) if isinstance(b, Prose)
              for p in b.parts if isinstance(p, InlineExpression)]
    assert [b.text for b in braces] == ["size(strip)", "words(sides)", "panels.marks"]
    for found in braces:
        at = found.span
        assert rows[at.line - 1][at.column - 1:at.column - 1 + at.length] == found.text
    photo = document.photos[0].span
    assert rows[photo.line - 1][photo.column - 1:photo.column - 1 + photo.length] == rows[photo.line - 1]


def test_the_parts_are_the_text():
    """Nothing of the prose is lost or changed: text and braces in order give the source again."""
    body = "A {{ b }}\n\n- `{{ c }}` and ``x ` y``\n\n```text\n{{ d }}\n```\n\nlast {{e}} words\n"
    intro = source(body=body + "\n## Cut\n").intro
    whole = "".join(p.text if isinstance(p, MarkdownText) else "{{}}" for p in intro.parts)
    assert whole.strip() == body.replace("{{ b }}", "{{}}").replace("{{e}}", "{{}}").strip()


# --- the file

def test_a_byte_order_mark_and_other_line_ends(tmp_path):
    """A file from another system reads like ours."""
    path = tmp_path / "index.md"
    path.write_bytes(b"\xef\xbb\xbf" + CADDY.replace("\n", "\r\n").encode())
    assert read_source(path) == (CADDY, ())
    marked = read_document("caddy.md", "\ufeff" + CADDY.replace("\n", "\r\n"))
    assert marked == read_document("caddy.md", CADDY)


def test_a_file_that_is_not_there(tmp_path):
    """One finding, no text."""
    text, findings = read_source(tmp_path / "none.md", "none.md")
    assert text is None
    assert told(findings) == [("file-unreadable", 1, 1)]
    assert findings[0].file == "none.md"


def test_a_folder_in_the_place_of_a_file(tmp_path):
    """A folder cannot be read."""
    assert told(read_source(tmp_path)[1]) == [("file-unreadable", 1, 1)]


def test_a_file_that_is_not_utf_8(tmp_path):
    """The finding stands at the first byte that is no text."""
    path = tmp_path / "index.md"
    path.write_bytes("---\ntitle: Käse".encode("latin-1"))
    assert told(read_source(path)[1]) == [("file-unreadable", 2, 9)]


@pytest.mark.parametrize("text", ["", " \n\t\n"])
def test_an_empty_file(tmp_path, text):
    """Blank is empty, read from a file or handed over."""
    path = tmp_path / "index.md"
    path.write_text(text)
    assert [f.code for f in read_source(path)[1]] == ["file-empty"]
    assert [f.code for f in read_document("box.md", text).findings] == ["file-empty"]


def test_a_source_too_long_to_be_meant():
    """It is refused whole."""
    document = read_document("box.md", "a" * (MAX_SOURCE_LENGTH + 1))
    assert [f.code for f in document.findings] == ["too-much"]


# --- front matter and headings

def test_front_matter():
    """It stands between the first line and the next ``---`` (or ``...``)."""
    document = source("title: x\n# more", "## Cut\n")
    assert (document.front.text, document.front.first_line) == ("title: x\n# more", 2)
    assert read_document("box.md", "---\ntitle: x\n...\n## Cut\n").front.text == "title: x"


@pytest.mark.parametrize("text", ["## Cut\n", "\n---\ntitle: x\n---\n## Cut\n", "title: x\n---\n## Cut\n"])
def test_front_matter_must_come_first(text):
    """What stands before it, a blank line even, is a finding; the steps are read all the same."""
    document = read_document("box.md", text)
    assert document.front is None
    assert told(document.findings) == [("front-missing", 1, 1)]
    assert [s.title for s in document.steps] == ["Cut"]


def test_front_matter_that_is_never_ended():
    """The steps are read all the same, and its keys are not taken for prose."""
    document = read_document("box.md", "---\ntitle: x\nlengths: {a: 3 mm}\n\nWords.\n\n## Cut\n")
    assert told(document.findings) == [("front-missing", 1, 1)]
    assert words(document.intro).strip() == "Words."


def test_a_source_without_steps():
    """Headings of other levels are no steps."""
    assert told(source(body="# Cut\n\n### Score\n").findings) == [("step-missing", 1, 1)]


def test_a_step_without_title():
    """It is a step still, so that the others keep their numbers."""
    document = source(body="## \n\ntext\n\n## Fold ##\n")
    assert told(document.findings) == [("step-untitled", 5, 1)]
    assert [(s.number, s.title) for s in document.steps] == [(1, ""), (2, "Fold")]


@pytest.mark.parametrize(("heading", "title"),
                         [("## Cut ##", "Cut"), ("##Cut", "Cut"), ("## Fold #3", "Fold #3"),
                                                ("  ## Cut", "Cut"), ("## C#", "C#")])
def test_headings_as_markdown_reads_them(heading, title):
    """Signs at the end that close a heading are not part of it."""
    assert [s.title for s in source(body=heading + "\n").steps] == [title]


def test_more_steps_than_a_box_can_have():
    """The rest is not read."""
    document = source(body="## Cut\n" * (MAX_STEPS + 5))
    assert len(document.steps) == MAX_STEPS
    assert [f.code for f in document.findings] == ["too-much"]


# --- fences

@pytest.mark.parametrize(("opening", "closing"),
                         [("```geometry", "```"), ("~~~geometry", "~~~"), ("````geometry", "`````"),
                                                  ("``` geometry", "```"), ("  ```geometry", "  ```")])
def test_fences(opening, closing):
    """Either sign, three or more of them; the closing one at least as long."""
    document = source(body=f"## Cut\n{opening}\na = b\n{closing}\nwords\n")
    assert document.findings == ()
    assert document.steps[0].blocks[0] == Fence("a = b", 7)
    assert words(document.steps[0].blocks[1]) == "words\n\n"


def test_other_fences_are_prose_untouched():
    """No brace, photo or heading is read in them, nor a fence that is shown as an example."""
    example = "````markdown\n## no\n```geometry\na = {{ b }} ![](c)\n```\n````\n"
    document = source(body=f"## Cut\n{example}")
    assert document.findings == document.photos == ()
    assert [step.blocks for step in document.steps] == [(Prose((MarkdownText(example, 6, 1, True),)),)]


@pytest.mark.parametrize("rest", ["", "\n\nWords {{ a }}.\n", "\n## Fold\n", "\n```geometry\nc = d\n```\n"])
def test_a_fence_left_open(rest):
    """It is reported at its first line and ends where it was likely meant to; the rest is read."""
    document = source(body=f"## Cut\n\n```geometry\na = b{rest}")
    assert told(document.findings) == [("fence-open", 7, 1)]
    assert document.steps[0].fences[0] == Fence("a = b", 8)
    assert len(document.steps) == 1 + ("## Fold" in rest)
    assert len(document.steps[0].fences) == 1 + ("c = d" in rest)


def test_a_fence_before_the_first_step():
    """It belongs to no step, so it is a finding at its first line."""
    assert told(source(body="```geometry\na = b\n```\n\n## Cut\n").findings) == [("fence-stray", 5, 1)]


def test_what_is_commented_out_is_no_part():
    """A comment that has its lines for itself may hide steps and fences."""
    document = source(body="## Cut\n<!-- later\n## Fold {{\n```geometry\n-->\nwords\n")
    assert document.findings == ()
    assert [s.title for s in document.steps] == ["Cut"]
    assert words(document.steps[0].blocks[0]).strip() == "words"


# --- braces

@pytest.mark.parametrize(("text", "column"),
                         [("a {{ b", 3), ("a {{ b {{ c }}", 3), ("a {{ }} b", 3), ("a {{\n\nb }}", 3),
                                              ("a }} b", 3)])
def test_braces_left_open_or_empty(text, column):
    """Reported where they begin; they never reach over a blank line."""
    assert told(source(body=f"{text}\n\n## Cut\n").findings)[0] == ("braces-open", 5, column)


@pytest.mark.parametrize("text", ["`{{ a`", "`` ` {{ ``", r"\{{ a", "```\n{{\n```"])
def test_braces_that_are_none(text):
    """In code, or behind a backslash, they are signs like any others."""
    document = source(body=f"{text}\n\n## Cut\n")
    assert document.findings == ()
    assert not [p for p in document.intro.parts if isinstance(p, InlineExpression)]


def test_braces_over_two_lines():
    """An expression may go on in the next line of its paragraph."""
    document = source(body="so {{ a +\n  b }} far\n\n## Cut\n")
    assert document.findings == ()
    assert document.intro.parts[1] == InlineExpression("a +\n  b", Span("box.md", 5, 7, 3))


# --- photos

def test_photos_within_and_alone():
    """A photo that has its paragraph for itself is a block; within a paragraph it stays in the words."""
    document = source(body='## Cut\n\n![One](one.jpg)\n\nsee ![Two](two.jpg "T") here\n\n'
                           '![{{ a }}](three.jpg)\n')
    assert [(p.src, p.alt, p.title) for p in document.photos] == [("one.jpg", "One", ""),
                                                                  ("two.jpg", "Two", "T"),
                                                                  ("three.jpg", "{{ a }}", "")]
    blocks = document.steps[0].blocks
    assert blocks[0] == document.photos[0]
    assert words(blocks[1]) == '\nsee ![Two](two.jpg "T") here\n\n![<a>](three.jpg)\n\n'


def test_a_photo_without_words():
    """Blank alternative text is none; the finding underlines the whole photo."""
    findings = source(body="## Cut\n\nsee ![ ](one.jpg)\n").findings
    assert findings[0].span == Span("box.md", 7, 5, 13)
    assert told(findings) == [("photo-unworded", 7, 5)]


@pytest.mark.parametrize(("src", "asked"),
                         [("a.jpg", "a.jpg"), ("a%20b.jpg", "a b.jpg"), ("<a b.jpg>", "a b.jpg"),
                                            ("in/a.jpg", "in/a.jpg"), ("a(1).jpg", "a(1).jpg")])
def test_missing_photos(src, asked):
    """Whether a photo is there is asked for its path beside the source."""
    document = source(body=f"## Cut\n\n![A]({src})\n")
    asks = []
    assert told(check_photos(document, lambda path: bool(asks.append(path)))) == [("photo-missing", 7, 1)]
    assert asks == [asked]
    assert check_photos(document, lambda path: path == asked) == ()


@pytest.mark.parametrize("src", ["../a.jpg", "/a.jpg", "https://box.example/a.jpg", "//box.example/a.jpg",
                                 "a/../../b.jpg",
                                 "data:image/png,x", "http://[::1"])
def test_photos_from_elsewhere(src):
    """A photo that does not lie beside the source is a finding, whatever lies there."""
    document = source(body=f"## Cut\n\n![A]({src})\n")
    assert [f.code for f in check_photos(document, lambda _: True)] == ["photo-missing"]


def test_asking_for_a_photo_cannot_fail():
    """A name that no file can have is a photo that is not there."""
    def refuses(path: str) -> bool:
        raise ValueError(path)
    document = source(body="## Cut\n\n![A](a%00b.jpg)\n")
    assert [f.code for f in check_photos(document, refuses)] == ["photo-missing"]


_pieces = st.sampled_from(["![A b](c.jpg)", "![](d.jpg)", '![A](e.jpg "T")', "![A](<f g.jpg>)",
                           "![A] (h.jpg)", "[A](i.jpg)",
                           "`![A](j.jpg)`", "words", "`` a ` ![A](n.jpg) ``", "*so*", "!", "(k)",
                           r"\![A](l.jpg)", "![A](m(1).jpg)"])


@settings(deadline=None, max_examples=examples(80))
@given(st.lists(_pieces, max_size=5))
def test_photos_agree_with_markdown(pieces):
    """Against a reader from outside.

    The Markdown library makes pictures of the same photos, with the same words.
    """
    text = " ".join(pieces)
    document = source(body=f"## Cut\n\n{text}\n")
    page = html.fromstring(f"<div>{markdown.markdown(text)}</div>")
    assert [(p.src, p.alt, p.title) for p in document.photos] == \
        [(i.get("src"), i.get("alt"), i.get("title") or "") for i in page.iter("img")]


@pytest.mark.slow
@pytest.mark.parametrize("part", ["{{", "}}", "{{a}} ", "`", "` `` ", "![", "](", "![a](", '![a](<', "\\",
                                  " ", "## # ", "##\n",
                                  "```a\n~~~b\n", "<!--\n", "```\n", "a](" "(", "\n", "- "])
def test_walls_of_signs(part):
    """A source is split up within a second of work, and findings of one kind are limited."""
    text = part * (150_000 // len(part))
    with within(1):
        document = read_document("box.md", f"---\n---\n{text}")
    assert len(document.findings) <= 120
