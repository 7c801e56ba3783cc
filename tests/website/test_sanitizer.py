"""What Markdown made of an author's words keeps what prose needs, and nothing that runs, loads or frames."""
from __future__ import annotations

import markdown
import pytest

from generator.website.prose import InlineMarkdown, StepHeading, sanitized_page
from generator.website.sanitizer import clean_inline, clean_prose

PROSE = """\
Card of *one* **kind**, `<b>`, [a link](../box/index.md), <https://example.org/> and H<sub>2</sub>O.

- one
- two

> said

3. three

### Glue

| a | b |
|---|---|
| c | d |

```python
fold()
```

![The strip](strip.png)
"""


def test_prose_is_as_markdown_made_it():
    """Lists, tables, quotations, code of a language, photos, links and headings with their anchors stay."""
    made = markdown.markdown(PROSE, extensions=["tables", "fenced_code", "toc"]).replace(" />", ">")
    assert 'id="glue"' in made and 'class="language-python"' in made
    assert clean_prose(made) == made


@pytest.mark.parametrize("html", [
    "<script>go()</script>", "<style>p { color: red }</style>", "<iframe src=//example.org></iframe>",
    "<form action=/><input></form>", "<svg onload=go()><a href=x>", "<math><mi xlink:href=javascript:go()>",
    "<link rel=stylesheet href=//example.org>", "<meta http-equiv=refresh content=0;url=//example.org>",
    "<base href=//example.org>", "<object data=x>", "<embed src=x>",
    "<template><img onerror=go()></template>",
    "<audio src=x>", "<video poster=x>", "<!-- said -->",
    "<noscript><p title='</noscript><img src=x onerror=go()>'>"])
def test_no_such_element_is_left(html):
    """Scripts, styles, frames, forms, drawings, media, what loads or leads away: not one tag."""
    cleaned = clean_prose(html)
    assert not {each for each in ("script", "style", "iframe", "form", "input", "svg", "math", "link", "meta",
                                  "base", "object", "embed", "template", "audio", "video", "!--")
                if f"<{each}" in cleaned}, cleaned
    assert "onerror=" not in cleaned and "go()" not in cleaned


@pytest.mark.parametrize("attribute", [
    "onclick=go()", "style=color:red", "class=skip", "data-place=3", "id=the-fold", "href=javascript:go()",
    "href=' java\tscript:go()'", "href=data:text/html,x", "src=x", "srcset=x", "ping=//example.org",
    "target=x",
    "background=x", "href=vbscript:x", "contenteditable", "accesskey=x", "tabindex=1"])
def test_no_such_attribute_is_left(attribute):
    """Handlers, styles, our own names, addresses of other kinds; the words stay."""
    assert clean_prose(f"<a {attribute}>words</a>") == "<a>words</a>"


@pytest.mark.parametrize("src",
                         ["https://example.org/x.png", "//example.org/x.png", "/x.png", r"\\example.org\x",
                                 "file:///etc/hostname", "data:image/png;base64,AA", " http:x"])
def test_a_picture_lies_beside_its_source(src):
    """Nothing is fetched from elsewhere because a page is looked at."""
    assert clean_prose(f"<img src='{src}' alt='x'>") == '<img alt="x">'


def test_a_line_holds_no_blocks():
    """Titles, supplies and notes take marks and links, neither pictures nor paragraphs."""
    assert clean_inline("<p>a <em>b</em> <img src=x.png></p>") == "a <em>b</em> "
    assert InlineMarkdown().html(('<b onclick="go()">hard</b> [x](javascript:go())',
                                  )) == "<b>hard</b> <a>x</a>"


def test_what_a_step_opens_ends_with_it():
    """No step reaches into the next, and each is found again by its heading, whatever signs that holds."""
    steps = [StepHeading(1, "cut", "Cut \"one\" & 'two' <b>"), StepHeading(2, "fold", "Fold")]
    first = "Cut &quot;one&quot; &amp; &#x27;two&#x27; &lt;b&gt;"
    page = sanitized_page(
        f'<p>Before</p></div>\n<h2 id="cut">{first}</h2>\n<p><b>far\n<h2 id="fold">Fold</h2>\n'
                          "</b></p>now", steps)
    assert page == (f'<p>Before</p>\n<h2 id="cut">{first}</h2>\n<p><b>far</b></p>\n<h2 id="fold">Fold</h2>\n'
                    "<p></p>now")
