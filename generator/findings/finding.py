"""One record for every problem, whoever found it."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from generator.findings.codes import CODES
from generator.findings.span import Span


class Severity(StrEnum):
    """How much a finding matters: an error stops the build."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check reports, in the words of the trade.

    ``code`` is one of :data:`generator.findings.codes.CODES`; ``message``
    says what is wrong, ``hint`` what would mend it ("" when nothing is known).
    """

    code: str
    severity: Severity
    message: str
    span: Span
    hint: str = ""

    @property
    def file(self) -> str:
        return self.span.file

    @property
    def line(self) -> int:
        return self.span.line

    @property
    def column(self) -> int:
        return self.span.column


def finding(code: str, span: Span, message: str, hint: str = "",
            severity: Severity | None = None) -> Finding:
    """Make a finding; its severity comes from the list of codes unless given.

    Raises KeyError for a code that is not on the list, so that no message
    can go out which DEVELOPERS.md does not explain.
    """
    return Finding(code, severity or Severity(CODES[code].severity), message, span, hint)


class Trouble(Exception):
    """Stops the work on one statement and carries what is wrong with it.

    Inside a stage only: the stage that catches it adds the findings to its
    own and goes on with the next statement.
    """

    def __init__(self, *findings: Finding):
        super().__init__("; ".join(f.message for f in findings))
        self.findings = findings


def trouble(code: str, span: Span, message: str, hint: str = "") -> Trouble:
    """Shorthand for a :class:`Trouble` with one finding."""
    return Trouble(finding(code, span, message, hint))


def has_errors(findings: Iterable[Finding]) -> bool:
    """True when at least one finding stops the build."""
    return any(f.severity is Severity.ERROR for f in findings)
