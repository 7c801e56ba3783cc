"""One record for every problem, and its printing."""
from generator.findings.finding import Finding, Severity, Trouble, finding, has_errors, trouble
from generator.findings.printing import fewer, in_order, render, render_all
from generator.findings.span import Span

__all__ = ["Finding", "Severity", "Span", "Trouble", "fewer", "finding", "has_errors", "in_order",
           "render", "render_all", "trouble"]
