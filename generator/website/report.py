"""Findings in the terminal, in the manner of the host."""
from __future__ import annotations

import logging
from collections.abc import Iterable, Mapping

from mkdocs.exceptions import Abort

from generator.findings import Finding, Severity, has_errors, render_all

# MkDocs counts warnings of loggers below this name and fails a strict build for them;
# so what an author may leave as it is goes out one level lower.
log = logging.getLogger("mkdocs.plugins.foldgauge")


def report(findings: Iterable[Finding], sources: Mapping[str, str]) -> None:
    """Print everything that was found in one run; raise Abort when any of it is an error."""
    findings = tuple(findings)
    errors = [f for f in findings if f.severity is Severity.ERROR]
    warnings = [f for f in findings if f.severity is not Severity.ERROR]
    for level, group in ((logging.INFO, warnings), (logging.ERROR, errors)):
        if group:
            log.log(level, "%s", render_all(group, sources))
    if has_errors(findings):
        raise Abort("Nothing was written: the sources have to be mended first.")
