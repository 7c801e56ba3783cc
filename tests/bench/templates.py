"""How long a template takes: a blank of 1 m by 1 m with many scores, on A4."""
from __future__ import annotations

from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.documents import template_pages
from generator.drawing.templates.page import PageHeading, TemplateFace
from generator.drawing.templates.plan import true_size_piece
from generator.paper.records import Plan
from generator.tutorial import load_text
from generator.units import Bench

AIM = 500.0         # ms of processor time
PAGE = 60_000       # bytes a page, at most

LARGE = """\
---
title: A large blank
summary: For the bench.
drawn_in: mm
counts: {parts: 40, rows: 9}
lengths: {part: 25 mm, row: 100 mm}
editions:
  in: {part: 1 in, row: 4 in}
---

## All of it

```geometry
blank = sheet(width=parts*part, height=10*row)
lines = score(blank, x=every(part, parts - 1))
levels = score(blank, y=every(row, rows))
```
"""


def large_blank(benches: dict[str, Bench]) -> Plan:
    """The plan of the blank, in mm."""
    loaded = load_text(LARGE, "large.md", benches, slug="large")
    if loaded.tutorial is None:
        raise SystemExit("\n".join(f.message for f in loaded.findings))
    return loaded.tutorial.plans["mm"]


def template(plan: Plan) -> tuple[int, int]:
    """Make its template from nothing; gives pages and bytes."""
    pages = template_pages([true_size_piece(plan, 0, TemplateFace.INSIDE)],
                           PageHeading("A large blank", "mm", "ABC123", "a4", TemplateFace.INSIDE))
    return len(pages), len(pdf("A large blank", pages))
