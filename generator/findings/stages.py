"""The stages of the work on a tutorial: an unforeseen error becomes a finding that names its stage."""
from __future__ import annotations

import traceback
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TextIO, TypeVar

from generator.findings.finding import Finding, FindingError, Severity, Span

MAX_SAID = 200      # signs of an error's own words that are printed
REPORT_HINT = "this is a fault of Foldgauge: please report it with this source; --verbose shows where it is"


@contextmanager
def stage(name: str, place: Span) -> Iterator[None]:
    """Work on one stage of a tutorial, "folding the box".

    Raises FindingError for any error inside. Of stages one within the other the inner one is named.
    """
    try:
        yield
    except FindingError:
        raise
    except Exception as error:      # whatever it is: that is what this is for
        raise FindingError(stage_finding(name, place, error)) from error


def stage_finding(name: str, place: Span, error: Exception) -> Finding:
    """What to say of an unforeseen error, in one line; its traceback goes with it."""
    return Finding("stage-failed", Severity.ERROR, f"{name} stopped at an unforeseen {_said(error)}", place,
                   REPORT_HINT, trace="".join(traceback.format_exception(error)))


def _said(error: Exception) -> str:
    """Its kind and its own words; tests let this raise, so that no fault passes for a finding."""
    words = " ".join(str(error).split())[:MAX_SAID]
    return type(error).__name__ + (f": {words}" if words else "")


Work = TypeVar("Work")
LINE_WIDTH = 79


def with_progress(work: Iterable[Work], what: str, names: Sequence[str],
                  out: TextIO | None) -> Iterator[Work]:
    """What comes of long work, one for each of ``names``, with a line at a terminal that says how far it is.

    Nothing is written where ``out`` is no terminal, or where there is one piece of work only.
    """
    shown = out if out is not None and len(names) > 1 and out.isatty() else None
    pieces = iter(work)

    def tell(line: str) -> None:
        if shown is not None:
            shown.write(f"\r{line:<{LINE_WIDTH}.{LINE_WIDTH}}\r")
            shown.flush()

    try:
        for number, name in enumerate(names, start=1):
            tell(f"{what} {number} of {len(names)}: {name}")
            yield next(pieces)
    finally:
        tell("")
