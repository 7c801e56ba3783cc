"""Measurements that were typed by hand in prose: they would be right in one edition at most."""
from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from generator.findings import Finding, Span, finding
from generator.language.source.records import Document, MarkdownText, Prose, SourcePhoto, TextPositions
from generator.units import Quantity, QuantityError, parse_length

MAX_FINDINGS = 40
_UNIT_OF_STEM = {"milli": "mm", "centi": "cm", "zenti": "cm", "met": "m", "inch": "in", "zoll": "in"}
TYPED_HINT = "name it in the front matter and write {{ its name }} here"

_FRACTION_SIGNS = "¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_MEASURE = re.compile(rf"""
    (?<![\w.,/¼½¾])
    (?P<amount>(?:[0-9]{{1,6}}[ \xa0-])?[0-9]{{1,6}}[/⁄][0-9]{{1,4}}|[0-9]{{0,6}}[ \xa0]?[{_FRACTION_SIGNS}]
              |[0-9]{{1,6}}(?:[.,][0-9]{{1,6}})?)
    (?:(?P<mark>["”″])
      |[ \xa0\t\n-]?(?P<unit>mm|cm|m|in|inch|inches|ft|feet
           |(?:milli|centi)?met(?:re|er)s?|(?:Milli|Zenti)?[Mm]eter|Zoll)(?![\w²³/]))""", re.VERBOSE)
# What is not read aloud: where links lead, tags, addresses. Bounded, so that no text is read again and again.
_NOT_READ_ALOUD = re.compile(r"\]\([^)\n]{0,200}\)|<[^<>\n]{0,200}>|https?://[^\s<>]{1,200}")
_AFTER_INCHES = re.compile(r"\s*(?:\Z|[.,;:!?)\]*_|—–]|[x×]\s*[0-9]"
                        r"|(?:wide|high|tall|long|deep|thick|across|apart|square|from|of|each)\b"
                        r"|(?:and|or|to|by)\s+[0-9]+(?:[ -]?[0-9]+/[0-9]+)?\s*(?:in|inch)\b)")


def typed_measures(document: Document,
                   suggest: Callable[[Quantity], str] | None = None) -> tuple[Finding, ...]:
    """A warning for every number with a unit of length in the prose of a source.

    ``suggest`` may answer a length with the expression to use in its place,
    such as ``{{ panel }}``; "" where it knows none.
    """
    found: list[Finding] = []
    for prose in _all_prose(document):
        found += measures_in(prose, document.file, suggest)
    return tuple(found[:MAX_FINDINGS])


def measures_in(prose: Prose, file: str,
                suggest: Callable[[Quantity], str] | None = None) -> tuple[Finding, ...]:
    """The same for one stretch of prose."""
    found: list[Finding] = []
    for i, part in enumerate(prose.parts):
        if isinstance(part, MarkdownText) and not part.verbatim:
            ends = i + 1 == len(prose.parts)
            where = TextPositions(part.text, file, part.line, part.column)
            found += (_warning(match, where.span(*match.span()), suggest)
                      for match in _measures(_visible_text(part.text), ends))
            if len(found) >= MAX_FINDINGS:
                break
    return tuple(found[:MAX_FINDINGS])


def _all_prose(document: Document) -> Iterator[Prose]:
    """All words of a source in order; those of a photo within a paragraph are part of its prose."""
    rows = document.text.split("\n")
    yield document.intro
    for step in document.steps:
        yield from (step.heading, step.short)
        for block in step.blocks:
            if isinstance(block, SourcePhoto):
                column = block.span.column + len("![")
                words = rows[block.span.line - 1][column - 1:].partition("](")[0]
                yield Prose((MarkdownText(words, block.span.line, column),))
            elif isinstance(block, Prose):
                yield block


def _visible_text(text: str) -> str:
    """The text with spaces in place of what nobody reads, every other sign at its place."""
    return _NOT_READ_ALOUD.sub(lambda m: " " * len(m.group()), text)


def _measures(text: str, ends: bool) -> Iterator[re.Match[str]]:
    """Every measure of the text.

    ``ends`` is False when an expression follows the text, so that its end ends no sentence.
    """
    opened, at = False, 0
    for match in _MEASURE.finditer(text):
        opened = _open_quotes(opened, text[at:match.start()])
        at = match.start()
        fraction = not match["amount"].isdecimal()
        if match["mark"]:
            if opened and match["mark"] != "″":     # the end of words in quotes, as in "flap 3"
                continue
            at = match.end()
        elif match["unit"] == "in" and not fraction and not _is_unit(text, match.end(), ends):
            continue
        yield match


def _open_quotes(opened: bool, passed: str) -> bool:
    """Are quotation marks open behind ``passed``? At the end of a paragraph none are."""
    before, blank, rest = passed.rpartition("\n\n")
    odd = sum(rest.count(q) for q in '"“”') % 2 == 1
    return odd if blank else opened ^ odd


def _is_unit(text: str, end: int, ends: bool) -> bool:
    """Is the "in" before ``end`` inches? "Fold 3 in half" is not; "3 in." and "3 in wide" are."""
    behind = _AFTER_INCHES.match(text, end)
    if behind is None:
        return False
    return ends or text[end:].strip() != ""


def _warning(match: re.Match[str], span: Span, suggest: Callable[[Quantity], str] | None) -> Finding:
    typed, instead = " ".join(match.group().split()), ""
    unit = match["unit"] or "in"
    stem = re.match("milli|centi|zenti|met|inch|zoll", unit.lower())
    unit = _UNIT_OF_STEM.get(stem[0], unit) if stem else unit
    try:
        quantity = parse_length(f"{match['amount'].replace(',', '.')} {unit}")
        instead = suggest(quantity) if suggest else ""
    except QuantityError:
        pass    # a length that cannot be read is typed by hand all the same
    return finding("measure-typed", span, f"“{typed}” is typed by hand",
                   f"write {instead}" if instead else TYPED_HINT)
