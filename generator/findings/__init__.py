"""One record for every problem, and its printing."""
from generator.findings.finding import (
           EDITION_NAMES,
           Finding,
           FindingError,
           Severity,
           Span,
           finding,
           finding_error,
           has_errors,
)
from generator.findings.printing import (
           capped_findings,
           findings_data,
           render,
           render_all,
           sorted_findings,
)

__all__ = ["EDITION_NAMES", "Finding", "Severity", "Span", "FindingError", "capped_findings", "finding",
           "findings_data",
           "has_errors", "sorted_findings",
           "render", "render_all", "finding_error"]
