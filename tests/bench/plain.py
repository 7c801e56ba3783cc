"""The same finished pages as a plain MkDocs site: their text as Markdown, with their drawings
inlined in it.
"""
from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from lxml import etree, html

HEADINGS = {f"h{n}": "#" * n for n in range(1, 7)}
LINES = {"p": "", "li": "- ", "dt": "- ", "dd": "- ", "figcaption": ""}
TEMPLATE = """<!doctype html><html lang="en"><head><meta charset="utf-8">
<title>{{ page.title }}</title></head>
<body>{{ page.content }}</body></html>"""


def write_plain_site(built: Path, folder: Path) -> None:
    """Make a MkDocs project in ``folder`` that has the pages of the ``built`` site, and a bare theme."""
    (folder / "theme").mkdir(parents=True)
    (folder / "theme" / "main.html").write_text(TEMPLATE, encoding="utf-8")
    (folder / "mkdocs.yml").write_text("site_name: Plain\ntheme: {name: null, custom_dir: theme}\n"
                                       "plugins: []\nmarkdown_extensions: [attr_list]\n", encoding="utf-8")
    for page in sorted(built.rglob("index.html")):
        source = folder / "docs" / page.relative_to(built).with_suffix(".md")
        source.parent.mkdir(parents=True, exist_ok=True)
        source.write_text(as_markdown(page), encoding="utf-8")


def as_markdown(page: Path) -> str:
    """The main part of a built page as Markdown, a blank line between two blocks."""
    main = html.parse(page).getroot().find(".//main")
    return "\n\n".join(_blocks(main)) + "\n"


def _blocks(element: etree._Element) -> Iterator[str]:
    for child in element:
        if not isinstance(child.tag, str):
            continue
        if child.tag == "svg":
            yield f"<figure>{_one_line(_outer(child))}</figure>"
        elif child.tag in HEADINGS:
            yield f"{HEADINGS[child.tag]} {_one_line(child.text_content())}"
        elif child.tag in LINES and child.find(".//svg") is None and not _holds_blocks(child):
            yield LINES[child.tag] + _one_line(_inner(child))
        else:
            yield from _blocks(child)


def _holds_blocks(element: etree._Element) -> bool:
    return any(inner.tag in HEADINGS or inner.tag in LINES for inner in element.iterdescendants())


def _outer(element: etree._Element) -> str:
    return html.tostring(element, encoding="unicode", with_tail=False)


def _inner(element: etree._Element) -> str:
    return (element.text or "") + "".join(html.tostring(child, encoding="unicode") for child in element)


def _one_line(text: str) -> str:
    return " ".join(text.split())
