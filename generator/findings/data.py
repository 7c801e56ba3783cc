"""Findings as plain data: what programs read as JSON."""
from __future__ import annotations

from collections.abc import Iterable

from generator.findings.finding import Finding


def findings_data(findings: Iterable[Finding]) -> list[dict[str, str | int | None]]:
    """A mapping for each, in the order given.

    Lines and columns count from 1, columns in characters; ``end_column`` is the first behind what is meant.
    """
    return [{"file": each.file, "line": each.line, "column": each.column, "end_line": each.line,
             "end_column": each.column + each.span.length, "code": each.code,
             "severity": str(each.severity), "message": each.message, "hint": each.hint,
             "edition": each.edition} for each in findings]
