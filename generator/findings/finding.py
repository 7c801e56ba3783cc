"""One record for every problem, whoever found it, and where it stands in a source file."""
from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from types import MappingProxyType

from generator.dataclass import dataclass, field
from generator.findings.codes import CODES


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one source line.

    ``line`` and ``column`` count from 1; ``length`` is in characters and at
    least 1. A stretch that runs over several lines is cut at the end of its
    first line, which is where the caret goes.
    """

    file: str
    line: int = 1
    column: int = 1
    length: int = 1

    def to(self, other: Span) -> Span:
        """The stretch from the start of this one to the end of ``other``."""
        if other.line != self.line or other.column < self.column:
            return self
        return Span(self.file, self.line, self.column,
                    max(self.length, other.column + other.length - self.column))

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class Severity(StrEnum):
    """How much a finding matters: an error stops the build."""

    ERROR = "error"
    WARNING = "warning"


# what messages call the edition measured in a system, by the system's code
EDITION_NAMES: Mapping[str, str] = MappingProxyType({"mm": "metric", "in": "inch"})


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check reports, in the words of the trade.

    ``code`` is one of :data:`generator.findings.codes.CODES`; ``message``
    says what is wrong, ``hint`` what would mend it ("" when nothing is known),
    ``edition`` in which edition alone ("mm" or "in", None for both), ``trace`` the
    traceback of an error in the program itself, for whoever asks for it.
    """

    code: str
    severity: Severity
    message: str
    span: Span
    hint: str = ""
    edition: str | None = None
    trace: str = field(default="", compare=False, repr=False)

    @property
    def file(self) -> str:
        """The file it stands in."""
        return self.span.file

    @property
    def line(self) -> int:
        """The line it stands in, from 1."""
        return self.span.line

    @property
    def column(self) -> int:
        """The column it begins at, from 1."""
        return self.span.column


def finding(code: str, span: Span, message: str, hint: str = "",
            severity: Severity | None = None, edition: str | None = None) -> Finding:
    """Make a finding; its severity comes from the list of codes unless given.

    Raises KeyError for a code that is not on the list, so that no message
    can go out which foldgauge explain does not know.
    """
    return Finding(code, severity or Severity(CODES[code].severity), message, span, hint, edition)


class FindingError(Exception):
    """Stops the work on one statement and carries what is wrong with it.

    Inside a stage only: the stage that catches it adds the findings to its
    own and goes on with the next statement.
    """

    def __init__(self, *findings: Finding):
        super().__init__("; ".join(f.message for f in findings))
        self.findings = findings


def finding_error(code: str, span: Span, message: str, hint: str = "") -> FindingError:
    """Shorthand for a :class:`FindingError` with one finding."""
    return FindingError(finding(code, span, message, hint))


def has_errors(findings: Iterable[Finding]) -> bool:
    """True when at least one finding stops the build."""
    return any(f.severity is Severity.ERROR for f in findings)
