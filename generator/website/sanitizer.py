"""HTML that Markdown made of words one may not trust, with what is on these lists and nothing else.

What an author wrote against them is a finding already (:mod:`generator.language.source.markup`); here it is
taken out whatever was found, so that no page runs, loads or frames what is not ours.
"""
from __future__ import annotations

import re

import nh3

from generator.language.source.markup import INLINE_ATTRIBUTES, INLINE_TAGS, LINK_SCHEMES

_LINE_TAGS = {*INLINE_TAGS, "a", "code"}
_PROSE_TAGS = _LINE_TAGS | {"blockquote", "dd", "dl", "dt", "h1", "h2", "h3", "h4", "h5", "h6", "hr", "img",
                            "li",
                            "ol", "p", "pre", "table", "tbody", "td", "th", "thead", "tr", "ul"}
_ATTRIBUTES = {"*": {*INLINE_ATTRIBUTES, "id"}, "a": {"href"}, "code": {"class"}, "ol": {"start"},
               "img": {"src", "alt", "width", "height"}}
# elements whose content is no prose either
_EMPTIED_TAGS = {"applet", "canvas", "embed", "frameset", "iframe", "math", "noembed", "noframes", "noscript",
                 "object", "plaintext", "script", "select", "style", "svg", "template", "textarea", "title",
                 "xmp"}
_LANGUAGE_CLASS = re.compile(r"language-[\w+-]+\Z")
_OWN_ANCHOR = "the-"        # how the names begin by which our scripts and styles know the parts of a page
_LEADS_AWAY = re.compile(r"[\x00-\x20]*(?:[/\\]|[a-z][a-z0-9+.-]*:)", re.IGNORECASE)


def _kept(tag: str, attribute: str, value: str) -> str | None:
    """The value of an attribute on our lists, None where it is none of an author's."""
    refused = (attribute == "id" and value.startswith(_OWN_ANCHOR)
               or attribute == "class" and not _LANGUAGE_CLASS.match(value)
               or tag == "img" and attribute == "src" and _LEADS_AWAY.match(value))
    return None if refused else value


def _cleaner(tags: set[str]) -> nh3.Cleaner:
    return nh3.Cleaner(tags=tags,
                       attributes={tag: keys for tag, keys in _ATTRIBUTES.items() if tag in {*tags, "*"}},
                       attribute_filter=_kept, clean_content_tags=_EMPTIED_TAGS, link_rel=None,
                       url_schemes=set(LINK_SCHEMES))


_PROSE, _LINE = _cleaner(_PROSE_TAGS), _cleaner(_LINE_TAGS)


def clean_prose(html: str) -> str:
    """Paragraphs, lists, tables, photos: what Markdown makes of prose."""
    return _PROSE.clean(html)


def clean_inline(html: str) -> str:
    """One line of a text: no more than marks and links."""
    return _LINE.clean(html)
