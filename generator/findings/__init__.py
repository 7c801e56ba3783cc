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
    gathered_findings,
    render,
    render_all,
    sorted_findings,
)
from generator.findings.stages import stage, stage_finding, with_progress

__all__ = ["EDITION_NAMES", "Finding", "FindingError", "Severity", "Span", "capped_findings", "finding",
           "finding_error", "findings_data", "gathered_findings", "has_errors", "render", "render_all",
           "sorted_findings", "stage", "stage_finding", "with_progress"]
