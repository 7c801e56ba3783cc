"""Print findings: for people with their source line and a caret, for programs as plain data."""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from generator.findings.finding import EDITION_NAMES, Finding, Severity

MAX_EXCERPT_WIDTH = 100  # a source line longer than this is shown around its caret only
MAX_PER_CODE = 40  # findings of one code that are listed; whoever reads them has seen by then what is wrong

MAX_NAMES = 3           # names that nothing makes, or that cannot be names, told one by one
NAME_CODES = ("name-unknown", "sign-unknown")
MAX_TOLD = 3            # findings; where one file has more, it is asked which follow from others
CLOSING_CODES = ("folds-contradict", "score-ends", "seam-open", "glue-apart", "tab-sticks-out",
                 "content-large")
UNFOLDED = ("score-unfolded",)      # what is flat still closes nothing, and is glued to itself
# code → codes of what it may follow from, beside which it is not said
FOLLOWS_FROM = {"length-unused": NAME_CODES, "clearance-rounded": NAME_CODES,
                "fold-unknown": (*CLOSING_CODES, *UNFOLDED, "fold-loose"),
                "glue-apart": ("folds-contradict",), "seam-open": ("folds-contradict",),
                "score-unfolded": ("folds-contradict", "score-ends"),
                "closing-open": UNFOLDED, "band-short": UNFOLDED, "glue-own": UNFOLDED}
# in one finding, at the first of them
TOLD_TOGETHER = ("fold-unknown", "length-unused", "score-unfolded", "face-unused", *NAME_CODES)


def _excerpt(line: str, column: int, length: int) -> tuple[str, int, int]:
    # one space for each sign that a terminal would not give one place, so that the caret stays under its own
    line = "".join(c if c.isprintable() else " " for c in line.rstrip("\r\n"))
    start = max(0, column - 1 - MAX_EXCERPT_WIDTH // 2) if len(line) > MAX_EXCERPT_WIDTH else 0
    shown = line[start:start + MAX_EXCERPT_WIDTH]
    if start:
        shown = "…" + shown[1:]
    if start + MAX_EXCERPT_WIDTH < len(line):
        shown = shown[:-1] + "…"
    caret = min(column - 1 - start, len(shown))
    return shown, caret, max(1, min(length, len(shown) - caret))


def render(finding: Finding, source: str | None = None) -> str:
    """One finding as text of two to five lines, without a final newline.

    ``source`` is the whole text of the finding's file; without it the source
    line is left out, and so is a line on which nothing stands.
    """
    rows = [f"{finding.span}: {finding.severity}: {_message(finding)} [{finding.code}]"]
    lines = source.split("\n") if source is not None else []
    if 1 <= finding.line <= len(lines) and lines[finding.line - 1].strip():
        shown, caret, length = _excerpt(lines[finding.line - 1], finding.column, finding.span.length)
        gutter = str(finding.line)
        rows.append(f"  {gutter} | {shown}")
        rows.append(f"  {' ' * len(gutter)} | {' ' * caret}{'^' * length}")
    if finding.hint:
        rows.append(f"  to mend it: {finding.hint}")
    return "\n".join(rows)


def _message(finding: Finding) -> str:
    """What is wrong, and in which edition alone unless that is said already."""
    edition = f"{EDITION_NAMES[finding.edition]} edition" if finding.edition else ""
    return finding.message + (f" (in the {edition} only)" if edition not in finding.message else "")


def sorted_findings(findings: Iterable[Finding]) -> list[Finding]:
    """By file, then errors and warnings together by line and column; doubles left out."""
    unique = dict.fromkeys(findings)
    return sorted(unique, key=lambda f: (f.file, f.line, f.column))


def capped_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """In order, and of each code and severity no more than :data:`MAX_PER_CODE`.

    The last one listed says how many are not.
    """
    counted: Counter[tuple[str, Severity]] = Counter()  # an error is never dropped for warnings of its code
    kept: list[Finding] = []
    last: dict[tuple[str, Severity], int] = {}
    for each in sorted_findings(findings):
        kind = (each.code, each.severity)
        counted[kind] += 1
        if counted[kind] <= MAX_PER_CODE:
            last[kind] = len(kept)
            kept.append(each)
    for kind, at in last.items():
        if (more := counted[kind] - MAX_PER_CODE) > 0:
            kept[at] = replace(kept[at],
                               message=f"{kept[at].message} (and {more} more like this, not listed)")
    return tuple(kept)


def gathered_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """In order; of a file with more than :data:`MAX_TOLD` none that follows from another, the same once.

    Where :data:`MAX_NAMES` places or more hold names that nothing makes, each name is told once. One step
    deleted leaves all its names behind: three are told, the third with all others.
    """
    by_file: dict[str, list[Finding]] = {}
    for each in sorted_findings(findings):
        by_file.setdefault(each.file, []).append(each)
    return tuple(each for found in by_file.values() for each in _without_consequences(_names_told(found)))


def _names_told(ordered: list[Finding]) -> list[Finding]:
    for code in NAME_CODES:
        found = [each for each in ordered if each.code == code]
        if len(found) >= MAX_NAMES:
            told = _grouped(found, lambda each: each.message)
            if rest := told[MAX_NAMES:]:
                last = told[MAX_NAMES - 1]
                told[MAX_NAMES - 1] = replace(last, message="; ".join(each.message for each in (last, *rest)),
                                              hint=f"{last.hint}; a step may be missing".lstrip("; "))
            ordered = sorted_findings([*(each for each in ordered if each.code != code), *told[:MAX_NAMES]])
    return ordered


def _without_consequences(ordered: list[Finding]) -> list[Finding]:
    if len(ordered) <= MAX_TOLD:
        return ordered
    codes = {each.code for each in ordered}
    causes = [each for each in ordered if codes.isdisjoint(FOLLOWS_FROM.get(each.code, ()))]
    told = _grouped(causes, lambda each: (each.code, each.edition, each.message))
    together = _grouped(told, lambda each: (each.code, each.edition) if each.code in TOLD_TOGETHER else each)
    return together if len(together) <= MAX_TOLD else told


def _grouped(found: list[Finding], key: Callable[[Finding], object]) -> list[Finding]:
    """The first of all that are alike, with what else the others say, and their lines."""
    groups: dict[object, list[Finding]] = {}
    for each in found:
        groups.setdefault(key(each), []).append(each)
    return [_gathered(group) for group in groups.values()]


def _gathered(group: list[Finding]) -> Finding:
    first = group[0]
    others = dict.fromkeys(each.message for each in group[1:] if each.message != first.message)
    lines = sorted({each.line for each in group[1:] if each.message == first.message} - {first.line})
    which = f" (also in line{'s' * (len(lines) > 1)} {', '.join(map(str, lines))})" if lines else ""
    return replace(first, message="; ".join((first.message + which, *others)))


def render_all(findings: Iterable[Finding], sources: Mapping[str, str]) -> str:
    """All findings in order of file and line, a blank line between two, and a closing count."""
    ordered = sorted_findings(findings)
    if not ordered:
        return ""
    rows = [render(f, sources.get(f.file)) for f in ordered]
    errors = sum(f.severity is Severity.ERROR for f in ordered)
    return "\n\n".join(rows) + "\n\n" + _totals(errors, len(ordered) - errors)


def _totals(errors: int, warnings: int) -> str:
    def text(n: int, word: str) -> str:
        return f"{n} {word}" + ("" if n == 1 else "s")
    return ", ".join(text(n, w) for n, w in ((errors, "error"), (warnings, "warning")) if n)


def findings_data(findings: Iterable[Finding]) -> list[dict[str, str | int | None]]:
    """A mapping for each, in the order given.

    Lines and columns count from 1, columns in characters; ``end_column`` is the first behind what is meant.
    """
    return [{"file": each.file, "line": each.line, "column": each.column, "end_line": each.line,
             "end_column": each.column + each.span.length, "code": each.code,
             "severity": str(each.severity), "message": each.message, "hint": each.hint,
             "edition": each.edition} for each in findings]
