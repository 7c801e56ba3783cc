"""From prose to Markdown and back: each step gets its own text, with the values in it."""
from __future__ import annotations

import markdown
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mkdocs.exceptions import PluginError

from generator.tutorial import Photo, Step
from generator.website.prose import InlineMarkdown, MarkdownSource, split_at_steps
from tests.time_limits import examples
from tests.website.sample_tutorial import CADDY, PLACE, STEPS, measure, said


def converted(tutorial=CADDY):
    manuscript = MarkdownSource()
    html = markdown.markdown(manuscript.page(tutorial), extensions=["tables", "fenced_code", "toc"])
    return split_at_steps(manuscript.fill(html), tutorial.steps)


def test_every_step_gets_its_own_text():
    """The text before the first heading is the introduction; the others follow in order, headings
    left out.
    """
    done = converted()
    assert done.intro == "<p>Loose tea wants a box that <strong>closes itself</strong>.</p>"
    assert len(done.steps) == len(STEPS)
    assert "<em>Long</em> side first." in done.steps[0] and "<h2" not in "".join(done.steps)
    assert done.steps[2] == "<p>See <code>panel</code>.</p>"


def test_values_come_back_where_they_were():
    """A value stands in its sentence, not at the end of it, and Markdown around it still works."""
    assert 'Cut a strip <i class="in" aria-hidden="true">' in converted().steps[0]
    assert "</i>, eight in all." in converted().steps[1]
    manuscript = MarkdownSource()
    html = markdown.markdown(manuscript.prose(("**", said("eight"), "** and _", said("nine"), "_")))
    assert manuscript.fill(html) == "<p><strong>eight</strong> and <em>nine</em></p>"


def test_a_photo_is_a_paragraph_by_itself():
    """Signs that mean something in Markdown do not break a photo's words or its address."""
    manuscript = MarkdownSource()
    photo = Photo("my photo (2).jpg", 'A [strip] of *card* & "ribbon"', 'After "it"', PLACE)
    html = markdown.markdown(manuscript.prose(("Before\n", photo, "after")))
    assert html.split("\n")[0] == "<p>Before</p>" and html.split("\n")[-1] == "<p>after</p>"
    assert 'alt="A [strip] of *card* &amp; &quot;ribbon&quot;"' in html
    assert 'src="my photo (2).jpg"' in html and 'title="After &quot;it&quot;"' in html


def test_text_that_swallows_a_heading_is_named():
    """A comment that is never ended would eat the steps behind it; the message says which and why."""
    steps = (Step(1, "Cut", "cut", 1, ("<!-- not yet",), False),
             Step(2, "Fold", "fold", 2, ("Fold it.",), False))
    with pytest.raises(PluginError, match=r"before step 2 \(Fold\).*never ended"):
        split_at_steps("<h2 id=\"cut\">Cut</h2>\n<!-- not yet", steps)


@pytest.mark.parametrize("line",
                         ["1. Cut", "- card", "# one", "C #", "    far in", "> said", "a\n\nb", "***", "==="])
def test_a_line_stays_a_line(line):
    """Titles, facts and supplies make no list, quotation or code block, whatever they begin with."""
    html = InlineMarkdown().html((line,))
    assert html == " ".join(line.split()).replace(">", "&gt;")


def test_a_line_may_hold_markdown_and_values():
    """Emphasis and values work in a line as in a paragraph."""
    html = InlineMarkdown().html(("*card*, ", measure("30 mm", "1 1/4 in")))
    assert html.startswith('<em>card</em>, <i class="in" aria-hidden="true">')


@settings(deadline=None, max_examples=examples(60))
@given(st.lists(st.text(alphabet="ab *_`[]()!#-+>|~:&\n\\12.", max_size=40), min_size=1, max_size=5))
def test_no_prose_loses_a_step(texts):
    """Whatever Markdown the steps hold, short of raw HTML, each is found again."""
    steps = tuple(Step(n, f"Step {n}", f"step-{n}", n, (text,), False) for n, text in enumerate(texts, 1))
    manuscript = MarkdownSource()
    source = "\n\n".join(f'<h2 id="{s.anchor}">{s.title}</h2>\n\n{manuscript.prose(s.prose)}' for s in steps)
    assert len(split_at_steps(markdown.markdown(source), steps).steps) == len(steps)
