"""One record for every problem, and its printing."""
from generator.findings.finding import (
           Finding,
           FindingError,
           Severity,
           Span,
           finding,
           finding_error,
           has_errors,
)
from generator.findings.printing import capped_findings, render, render_all, sorted_findings

__all__ = ["Finding", "Severity", "Span", "FindingError", "capped_findings", "finding", "has_errors",
           "sorted_findings",
           "render", "render_all", "finding_error"]
