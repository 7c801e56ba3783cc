"""A template as a document: the scale page, then every piece at true size."""
from __future__ import annotations

from collections.abc import Sequence

from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.double_rule import double_rule_page
from generator.drawing.templates.page import Heading, Page
from generator.drawing.templates.page_format import PrintPaper
from generator.drawing.templates.plan import Plate
from generator.drawing.templates.plan_pages import plan_pages
from generator.drawing.templates.scale_page import scale_page
from generator.drawing.templates.tiling import count, tiling
from generator.locale import ENGLISH, Locale

MOST_PAGES = 60     # of one document: nobody sticks more of them together


def page_count(plates: Sequence[Plate], paper: str) -> int:
    """How many pages of plan there will be."""
    return sum(count(plate.box, paper) for plate in plates)


def template_pages(plates: Sequence[Plate], heading: Heading) -> tuple[Page, ...]:
    """All pages; ``heading.paper`` says on which paper."""
    laid = [(plate, tiling(plate.box, heading.paper, plate.features)) for plate in plates]
    return (scale_page(laid, heading), *(page for plate, tiles in laid for page in plan_pages(plate, tiles, heading)))


def double_rule(paper: str, locale: Locale = ENGLISH) -> bytes:
    """The true-size double rule as a document of one page."""
    return pdf(locale.say("templates.title.rule", paper=PrintPaper(paper).title), [double_rule_page(paper, locale)])
