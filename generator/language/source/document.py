"""From the text of a tutorial source to its front matter, introduction and steps."""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path, PurePosixPath
from stat import S_ISDIR, S_ISREG
from urllib.parse import unquote, urlsplit

from generator.findings import Finding, Span, finding
from generator.language.source.markdown import (
    SHORT_LINE,
    InlineContent,
    LineBlock,
    read_inline,
    split_body,
    split_short_line,
    stray_short_lines,
)
from generator.language.source.records import (
    Block,
    Document,
    Fence,
    FrontMatterText,
    InlineExpression,
    MarkdownText,
    Prose,
    SourcePhoto,
    SourceStep,
    TextPositions,
)
from generator.language.source.text_limits import MAX_PROSE_WORK, hidden_characters, prose_work
from generator.language.source.typed_measures import typed_measures

MAX_SOURCE_LENGTH = 400_000   # signs of a source; a long tutorial has 20,000
MAX_STEPS = 400
MAX_ALIKE = 40     # findings of one code that are listed; the author has seen by then what is wrong

__all__ = ["InlineExpression", "Document", "Fence", "FrontMatterText", "SourcePhoto", "Prose", "SourceStep",
           "MarkdownText", "check_photos",
           "decoded_source", "read_document", "read_source", "typed_measures"]


def read_source(path: Path | str, shown: str | None = None) -> tuple[str | None, tuple[Finding, ...]]:
    """The text of a file with plain line ends; None and a finding when it cannot be read or is empty.

    ``shown`` is how findings name the file, its path unless given.
    """
    file = shown or str(path)
    try:
        kind = Path(path).stat()
        if not S_ISREG(kind.st_mode):
            what = "a folder, and not a file" if S_ISDIR(kind.st_mode) else "not a plain file"
            return None, (finding("file-unreadable", Span(file), f"this is {what}",
                                  "name the tutorial's index.md"),)
        if kind.st_size > 4 * MAX_SOURCE_LENGTH:
            return None, (finding("too-much", Span(file), f"this file has {kind.st_size} bytes",
                                  "a tutorial has some 20000"),)
        raw = Path(path).read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        return None, (finding("file-unreadable", Span(file), f"this file cannot be read: {why.lower()}",
                              "check its name and place"),)
    return decoded_source(raw, file)


def decoded_source(raw: bytes, file: str) -> tuple[str | None, tuple[Finding, ...]]:
    """As :func:`read_source`, from the bytes of a file that findings name ``file``."""
    try:
        text = normalized_text(raw.decode("utf-8"))
    except UnicodeDecodeError as error:
        return None, (_not_utf8_finding(raw, error, file),)
    return (text, ()) if text.strip() else (None, (_empty_source_finding(file),))


def normalized_text(text: str) -> str:
    """Without the mark that some editors put first, and with plain line ends."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n")


def read_document(path_shown: str, text: str, parts: Mapping[str, object] | None = None) -> Document:
    """Split a source up. What is wrong is in the result's ``findings``; nothing is raised.

    ``parts`` are those of its own site.
    """
    text = normalized_text(text)
    if not text.strip():
        return Document(path_shown, text, None, Prose(), (), (), (_empty_source_finding(path_shown),))
    if len(text) > MAX_SOURCE_LENGTH:
        too_long = finding("too-much", Span(path_shown), f"this source has {len(text)} signs",
                           f"{MAX_SOURCE_LENGTH} are the most; split it into two tutorials")
        return Document(path_shown, text, None, Prose(), (), (), (too_long,))
    rows = text.split("\n")
    front, body_from, findings = _split_front_matter(rows, path_shown)
    chunks, open_fences = split_body(rows[body_from:], body_from + 1, path_shown)
    builder = _DocumentBuilder(path_shown)
    builder.build(chunks)
    findings += open_fences + builder.findings
    body = TextPositions("\n".join(rows[body_from:]), path_shown, body_from + 1)
    findings += hidden_characters(body.text, body)
    words = ["\n".join(chunk.rows) for chunk in chunks if chunk.kind in ("prose", "heading")]
    if prose_work(words) > MAX_PROSE_WORK:
        findings.append(finding("too-much", body.span(0, 1), "this prose has more signs of Markdown than can "
                                "be converted", "make its paragraphs shorter, with a blank line between two"))
    return Document(path_shown, text, front, builder.intro, tuple(builder.steps), tuple(builder.photos),
                    _limited_findings(findings), tuple(builder.stray), parts or {})


def _limited_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    counted: Counter[str] = Counter()
    kept = []
    for one in findings:
        counted[one.code] += 1
        if counted[one.code] <= MAX_ALIKE:
            kept.append(one)
    return tuple(kept)


def check_photos(document: Document, exists: Callable[[str], bool]) -> tuple[Finding, ...]:
    """Findings for photos that do not lie beside the source.

    ``exists`` says so for a path from its folder.
    """
    found = []
    for photo in document.photos:
        if photo.src and (problem := _photo_problem(photo.src, exists)):
            found.append(finding("photo-missing", photo.span, *problem))
    return tuple(found)


def _photo_problem(src: str, exists: Callable[[str], bool]) -> tuple[str, str] | None:
    beside = "put the photo into the folder of the source and give its name only"
    try:
        parts = urlsplit(src)
    except ValueError:
        return f"“{src}” is not the name of a file", beside
    path = unquote(parts.path)
    if (parts.scheme or parts.netloc or path.startswith("/") or "\\" in path
        or ".." in PurePosixPath(path).parts):
        return f"the photo “{src}” does not lie beside the source", beside
    try:
        there = exists(path)
    except (OSError, ValueError):
        there = False
    return None if there else (f"there is no photo “{path}” beside the source",
                               "check its name, capitals too")


def _empty_source_finding(file: str) -> Finding:
    return finding("file-empty", Span(file), "this source is empty",
                   "foldgauge new writes a first one to start from")


def _not_utf8_finding(raw: bytes, error: UnicodeDecodeError, file: str) -> Finding:
    before = raw[:error.start]
    row = before.rpartition(b"\n")[2].decode("utf-8", "replace")
    span = Span(file, before.count(b"\n") + 1, len(row) + 1)
    return finding("file-unreadable", span, "this file is not UTF-8 text",
                   "save it again with the encoding UTF-8")


def _split_front_matter(rows: list[str], file: str) -> tuple[FrontMatterText | None, int, list[Finding]]:
    """The front matter, the row at which the body begins, and what is wrong."""
    if rows[0].rstrip() != "---":
        return None, 0, [finding("front-missing", Span(file), "this source does not begin with front matter",
                                 "put a line --- first of all, then the keys, then another line ---")]
    end = next((i for i, row in enumerate(rows) if i and row.rstrip() in ("---", "...")), None)
    if end is not None:
        return FrontMatterText("\n".join(rows[1:end]), 2), end + 1, []
    body = next((i for i,
                 row in enumerate(rows) if i and (not row.strip() or row.startswith(("##", "```", "~~~")))),
                len(rows))
    problem = finding("front-missing", Span(file, 1, 1, 3), "the front matter is never ended",
                      "put a line --- behind its last key")
    return None, body, [problem]


class _DocumentBuilder:
    """Puts chunks together into the introduction and the steps."""

    def __init__(self, file: str):
        self.file = file
        self.intro = Prose()
        self.steps: list[SourceStep] = []
        self.photos: list[SourcePhoto] = []
        self.findings: list[Finding] = []
        self.stray: list[Fence] = []

    def build(self, chunks: Iterable[LineBlock]) -> None:
        heading: LineBlock | None = None
        held: list[LineBlock] = []
        for chunk in chunks:
            if chunk.kind == "heading":
                self._end(heading, held)
                if len(self.steps) >= MAX_STEPS:
                    self.findings.append(finding("too-much", Span(self.file, chunk.line),
                                                 "from here on nothing is read",
                                                 f"{MAX_STEPS} steps are the most"))
                    return
                heading, held = chunk, []
            else:
                held.append(chunk)
        self._end(heading, held)
        if not self.steps:
            self.findings.append(finding("step-missing", Span(self.file), "this source has no step",
                                         "begin each step with a line ## and its title"))

    def _end(self, heading: LineBlock | None, held: list[LineBlock]) -> None:
        """Make the introduction, or a step, of what stands under ``heading``."""
        short, held = split_short_line(held) if heading is not None else (LineBlock("prose", (), 1), held)
        self.findings += (finding("short-stray", Span(self.file, line, 1, len(SHORT_LINE)),
                                  "here this is prose, and no line of the project sheet",
                                  "put it right below the heading of its step, with nothing between")
                          for line in stray_short_lines(held))
        if heading is None:
            self._stray_fences(held)
            self.intro = Prose(tuple(p for c in held if c.kind != "geometry" for p in self._parts(c)))
            return
        title = heading.rows[0]
        if not title:
            self.findings.append(finding("step-untitled", Span(self.file, heading.line, 1, 2),
                                         "this step has no title", "say behind ## what is done in it"))
        words = self._read(title, heading.line, heading.column)
        self.steps.append(SourceStep(len(self.steps) + 1, title, heading.line, self._blocks(held),
                                     words.prose,
                                     self._read("\n".join(short.rows), short.line, short.column).prose))

    def _stray_fences(self, held: list[LineBlock]) -> None:
        for chunk in held:
            if chunk.kind == "geometry":
                self.findings.append(finding(
                    "fence-stray", Span(self.file, chunk.line - 1, 1, len("```geometry")),
                    "this fence stands before the first step",
                    "put a heading ## with the step's title before it"))
                self.stray.append(Fence("\n".join(chunk.rows), chunk.line))

    def _blocks(self, held: list[LineBlock]) -> tuple[Block, ...]:
        blocks: list[Block] = []
        parts: list[MarkdownText | InlineExpression] = []
        for chunk in held:
            if chunk.kind == "geometry":
                _flush_prose(parts, blocks)
                blocks.append(Fence("\n".join(chunk.rows), chunk.line))
                continue
            whole = [(chunk.rows, chunk.line)]
            for rows, line in _isolate_photo_rows(chunk) if chunk.kind == "prose" else whole:
                found = self._parts(LineBlock(chunk.kind, rows, line))
                if len(rows) == 1 and self._is_photo(rows[0], line):
                    _flush_prose(parts, blocks)
                    blocks.append(self.photos[-1])
                else:
                    parts += found
        _flush_prose(parts, blocks)
        return tuple(blocks)

    def _parts(self, chunk: LineBlock) -> tuple[MarkdownText | InlineExpression, ...]:
        text = "\n".join(chunk.rows) + "\n"
        if chunk.kind == "verbatim":
            return (MarkdownText(text, chunk.line, 1, True),)
        return tuple(self._read(text, chunk.line).parts)

    def _read(self, text: str, line: int, column: int = 1) -> InlineContent:
        found = read_inline(text, self.file, line, column)
        self.photos += found.photos
        self.findings += found.findings
        return found

    def _is_photo(self, row: str, line: int) -> bool:
        """True where the row is one photo and nothing else, without an expression in its words."""
        if not self.photos or self.photos[-1].span.line != line or "{{" in row:
            return False
        span, bare = self.photos[-1].span, row.rstrip()
        return (span.column - 1 == len(row) - len(row.lstrip()) <= 3
                and span.column - 1 + span.length == len(bare))


def _flush_prose(parts: list[MarkdownText | InlineExpression], blocks: list[Block]) -> None:
    """Make a block of the parts gathered so far, unless they are blank."""
    if any(isinstance(p, InlineExpression) or p.text.strip() for p in parts):
        blocks.append(Prose(tuple(parts)))
    parts.clear()


def _isolate_photo_rows(chunk: LineBlock) -> list[tuple[tuple[str, ...], int]]:
    """A prose chunk cut so that every row with blank rows (or nothing) on both sides is for itself."""
    pieces, start = [], 0
    rows = chunk.rows
    blank = [not row.strip() for row in rows]
    for at in range(len(rows)):
        alone = (not blank[at] and rows[at].lstrip().startswith("![") and (at == 0 or blank[at - 1])
                 and (at == len(rows) - 1 or blank[at + 1]))
        if alone:
            pieces += [(rows[start:at], chunk.line + start), (rows[at:at + 1], chunk.line + at)]
            start = at + 1
    pieces.append((rows[start:], chunk.line + start))
    return [(r, line) for r, line in pieces if r]
