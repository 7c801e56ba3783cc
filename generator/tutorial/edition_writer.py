"""Write a choice into its source file, so that nothing is lost whatever happens meanwhile."""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil
from pathlib import Path

from generator.files import replace_file
from generator.findings import Finding, Severity
from generator.language.front_matter import read_front_matter
from generator.language.source.document import read_document
from generator.language.source.front_matter_models import MAX_WINDOW_PERCENT
from generator.paper.verbs import RESERVED_NAMES
from generator.regauge.comparison import relative_change
from generator.regauge.problem import DEFAULT_WINDOW, RegaugeProblem, mark_congruences, windows_of
from generator.regauge.rewriting import UnwritableSource, rewrite_edition
from generator.tutorial.load import load_text
from generator.tutorial.suggested_lengths import concerns_other_edition
from generator.units import Bench

CHANGED_MEANWHILE = ("this file was changed while its new values were worked out; nothing was written. Run "
                     "the command again")


class WriteRefused(ValueError):
    """Nothing was written; the message says why. ``findings`` are what the build would have said."""

    def __init__(self, message: str, findings: tuple[Finding, ...] = ()):
        super().__init__(message)
        self.findings = findings


def required_window(problem: RegaugeProblem, values: Mapping[str, Fraction],
                    asked: Fraction | None) -> Fraction | None:
    """The window that the source must allow for these values; None where what it says already will do.

    Raises WriteRefused.
    """
    now = problem.front.within or DEFAULT_WINDOW
    marks = mark_congruences(problem.front, problem.drawn_plan, problem.bench, problem.target)
    own = windows_of(problem.drawn, marks, problem.bench, now)
    far = {n: relative_change(problem, n, v) for n, v in values.items() if not own[n].holds(v)}
    if not far:
        return None
    name = max(far, key=far.__getitem__)
    if far[name] > Fraction(MAX_WINDOW_PERCENT, 100):
        raise WriteRefused(
            f"{name} would lie {float(far[name] * 100):.0f} % from its drawn length, which makes another "
            "box; "
                      "change the drawn length instead")
    return max(asked or now, Fraction(ceil(far[name] * 100), 100))


def updated_source(before: bytes, shown: str, problem: RegaugeProblem, values: Mapping[str, Fraction],
                   asked: Fraction | None,
             benches: Mapping[str, Bench]) -> str:
    """The source with the choice in it, proven by loading it. Raises WriteRefused."""
    try:
        text = before.decode("utf-8")
        new = rewrite_edition(text, problem.target, values, problem.drawn,
                              required_window(problem, values, asked))
    except (UnicodeDecodeError, UnwritableSource) as error:
        raise WriteRefused(f"the values cannot be put into this file: {error}") from None
    _check_updated(new, shown, problem, values, benches)
    return new


def _check_updated(new: str, shown: str, problem: RegaugeProblem, values: Mapping[str, Fraction],
                   benches: Mapping[str, Bench]) -> None:
    """Load the result: it must say exactly these values, and nothing may be wrong with that edition."""
    parts = problem.front.parts
    front, findings = read_front_matter(read_document(shown, new, parts), RESERVED_NAMES)
    if front is None or any(front.lengths[problem.target][name].value != value
                            for name, value in values.items()):
        raise WriteRefused("the source with the new values in it does not read; nothing was written",
                           findings)
    worse = tuple(f for f in load_text(new, shown, benches, parts=parts).findings
                  if f.severity is Severity.ERROR and concerns_other_edition(f, front))
    if worse:
        raise WriteRefused("with these values the build would stop; nothing was written", worse)


def replace_source(path: Path, before: bytes, text: str) -> None:
    """Put ``text`` in the place of a source that still holds ``before``.

    Raises WriteRefused, or OSError; the file is whole either way.
    """
    def still_as_before() -> None:
        if path.read_bytes() != before:
            raise WriteRefused(CHANGED_MEANWHILE)

    still_as_before()
    replace_file(path, text.encode("utf-8"), still_as_before)
