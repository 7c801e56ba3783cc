"""What to say of an error that nobody foresaw, met while MkDocs made a page."""
from __future__ import annotations

import posixpath
from copy import copy
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page

from generator.findings import Finding, Span, stage_finding
from generator.website.sources import Source

if TYPE_CHECKING:
    from generator.website.prose import StepHeading
    from generator.website.tutorial_pages import TutorialPages

TO_HTML = "turning Markdown into HTML"


def unforeseen_error(error: Exception, stage: str, page: Page | None, uri: str, source: Source | None,
                     files: Files, config: MkDocsConfig | None) -> Finding:
    """The finding of an error in a ``stage``.

    ``page`` is the one at work, None between pages; ``uri`` and ``source`` are those of its tutorial.
    """
    if page is None:
        return stage_finding(stage, Span("mkdocs.yml"), error)
    step = None
    if source is None:
        file = posixpath.join(Path(config.docs_dir).name if config is not None else "", page.file.src_uri)
    else:
        file = posixpath.join(posixpath.dirname(source.request.shown), posixpath.basename(uri))
        if stage == TO_HTML and source.work is not None and config is not None:
            step = _failing_step(page, source.work.pages[uri], files, config)
    where = f" of step {step.number}" if step is not None else ""
    return stage_finding(stage + where, Span(file, step.line if step is not None else 1), error)


def _failing_step(page: Page, pages: TutorialPages, files: Files, config: MkDocsConfig) -> StepHeading | None:
    """The first step whose own text cannot be converted; None where that is none's alone."""
    for step, markdown in pages.texts_of_steps():
        alone = copy(page)
        alone.markdown = markdown
        try:
            alone.render(config, files)
        except Exception:       # whatever it is: it is the one that is reported
            return step
    return None
