"""HTML and links in prose that pages do not take: whoever wrote a text may neither run nor load anything.

What is found here is told with its place; whatever is not, the pages themselves leave out.
"""
from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from urllib.parse import urlsplit

from generator.findings import Finding, finding
from generator.language.source.records import TextPositions

# the elements of a line that an author may write as HTML, since Markdown has no signs for them
INLINE_TAGS = frozenset({"abbr", "b", "bdi", "bdo", "br", "cite", "del", "dfn", "em", "i", "ins", "kbd",
                         "mark", "q", "s", "samp", "small", "span", "strong", "sub", "sup", "u", "var",
                         "wbr"})
INLINE_ATTRIBUTES = frozenset({"dir", "lang", "title"})
LINK_SCHEMES = frozenset({"http", "https", "mailto"})
_LIST_ATTRIBUTES = INLINE_ATTRIBUTES | {"id", "start", "width", "height"}      # in {: … }, of attr_list
MAX_FINDINGS = 40       # of one stretch of prose

# Each part has an upper length, so that a wall of signs is not read again and again.
_TAG = re.compile(r"(?P<target>\](?:\(|:)\s{0,9})?<(?:"
                  r"(?P<comment>!--)"
                  r"|(?P<declared>[!?][a-zA-Z\[][^<>\n]{0,40})"
                  r"|/?(?P<name>[a-zA-Z][^\s<>/]{0,400})(?P<rest>(?:\"[^\"]{0,400}\"|'[^']{0,400}'|[^<>\"'])"
                  r"{0,400})>)")
_ATTRIBUTE = re.compile(r"""([^\s=/"'<>]+)(?:\s{0,9}=\s{0,9}(?:"[^"]*"|'[^']*'|[^\s"'=<>`]+))?""")
_ATTRIBUTE_LIST = re.compile(r"(?<!\{)\{:?[ ]?(?P<inside>[^{}\n]{1,400})\}")
_LISTED_ATTRIBUTE = re.compile(r"(?:^|\s)(?:(?P<key>[\w:-]{1,60})\s{0,9}="
                               r"|(?P<sort>\.[\w-]{1,60})(?=\s|$))")
_TARGET = re.compile(r"(?:\]\(|^[ ]{0,3}\[[^\]\n]{1,200}\]:)\s{0,9}"
                     r"(?:<(?P<angled>[^<>\n]{1,400})>|<?(?P<plain>[^\s()<>]{1,400}))",
                     re.MULTILINE)
_PHOTO_BY_NAME = re.compile(r"!\[[^\]\n]{0,400}\] ?\[[^\]\n]{0,200}\]")
_SCHEME = re.compile(r"([a-z][a-z0-9+.-]*):", re.IGNORECASE)
_ANY_SIGN = re.compile(r"[^\n]")
_UNSEEN = re.compile(r"[\x00-\x20\x7f\\]")       # what browsers pass over within an address


def markup_findings(text: str, code: list[tuple[int, int]], photos: list[str],
                    where: TextPositions) -> list[Finding]:
    """What of a stretch of prose no page takes.

    ``code`` are the places of code spans, ``photos`` targets that are judged elsewhere.
    """
    seen = _without(text, code)
    seen = _without(seen, list(_comments(seen)))
    found = [*_tag_findings(seen, where), *_attribute_list_findings(seen, where),
             *_target_findings(seen, photos, where)]
    return sorted(found, key=lambda each: (each.line, each.column))[:MAX_FINDINGS]


def _without(text: str, places: list[tuple[int, int]]) -> str:
    made, done = [], 0
    for start, end in places:
        made += [text[done:start], _ANY_SIGN.sub(" ", text[start:end])]
        done = end
    return "".join((*made, text[done:]))


def _comments(text: str) -> Iterator[tuple[int, int]]:
    end = 0
    while (start := text.find("<!--", end)) >= 0 and (close := text.find("-->", start)) >= 0:
        end = close + len("-->")
        yield start, end


def _tag_findings(text: str, where: TextPositions) -> Iterator[Finding]:
    told = set()
    for found in _TAG.finditer(text):
        start, name = found.end("target") if found["target"] else found.start(), found["name"]
        span = where.span(start, found.end())
        if found["comment"]:
            yield finding("html-refused", span, "this comment is never ended", "put --> behind it")
        elif found["declared"]:
            yield finding("html-refused", span, f"“<{found['declared'][:1]}” begins nothing that pages take",
                          "take it out, or write it as code between ` and `")
        elif found["target"] or (not found["rest"] and "@" in name and ":" not in name):
            continue        # where a link leads, and the address of a mailbox
        elif ":" in name:
            yield from _address_findings(name + found["rest"], where, start + 1)
        elif name.lower() not in INLINE_TAGS:
            if found[0].startswith("</") and name.lower() in told:
                continue
            told.add(name.lower())
            yield finding("html-refused", span, f"“<{name[:40]}>” is no HTML that pages take",
                          "say it in Markdown; of HTML itself pages take marks within a line, such as <sup>")
        else:
            for key in _ATTRIBUTE.findall(found["rest"]):
                if key.lower() not in INLINE_ATTRIBUTES:
                    yield finding("html-refused", span, f"“{key[:40]}” is no attribute that pages take",
                                  "take it out; lang, dir and title may stand here")


def _attribute_list_findings(text: str, where: TextPositions) -> Iterator[Finding]:
    for whole in _ATTRIBUTE_LIST.finditer(text):
        for found in _LISTED_ATTRIBUTE.finditer(whole["inside"]):
            said = found["key"] or found["sort"]
            if said.lower() not in _LIST_ATTRIBUTES and (found["key"] or whole[0].startswith("{:")):
                start = whole.start("inside") + found.start("key" if found["key"] else "sort")
                yield finding("html-refused", where.span(start, start + len(said)),
                              f"“{said}” is no attribute that pages take",
                              "take it out; #name, lang and title may stand here")


def _target_findings(text: str, photos: list[str], where: TextPositions) -> Iterator[Finding]:
    for found in _TARGET.finditer(text):
        kind = found.lastgroup or "plain"
        if found[kind] not in photos:
            yield from _address_findings(found[kind], where, found.start(kind))
    for found in _PHOTO_BY_NAME.finditer(text):
        yield finding("link-refused", where.span(*found.span()), "the file of this photo stands elsewhere",
                      "write it here: ![what it shows](photo.jpg)")


def _address_findings(address: str, where: TextPositions, start: int) -> Iterator[Finding]:
    plain = _UNSEEN.sub("", unescape(address))
    span = where.span(start, start + len(address))
    scheme = _SCHEME.match(plain)
    if scheme and scheme[1].lower() not in LINK_SCHEMES:
        yield finding("link-refused", span, f"pages link to no “{scheme[1][:40]}:”",
                      "link to https:, http: or mailto:, or to a file of the site")
        return
    try:
        urlsplit(plain)
    except ValueError:
        yield finding("link-refused", span, f"“{address[:80]}” is no address",
                      "write it as a browser shows it")
