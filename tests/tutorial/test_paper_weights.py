"""How thick card is: an input, never inferred (check-values, row 26, tables of mills and exam boards)."""
from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from generator.tutorial import Tutorial
from tests.tutorial.site_tutorials import SHELF, on_shelf
from tests.tutorial.small_source import source, tutorial

# g/m² → mm, ± 15 %: the tables disagree
TABLE = {160: 0.20, 220: 0.29, 280: 0.36}
SCORED_FROM = 150       # g/m²: lighter paper is folded without a score (common practice)


def papers(made: Tutorial) -> dict[str, tuple[int, float]]:
    """The weight and the thickness of each card of a tutorial, of those that are scored."""
    found = [info.paper for info in made.drawn.pieces if info.paper is not None]
    return {paper.name: (paper.weight, float(paper.thickness.value)) for paper in found
            if paper.weight and paper.weight >= SCORED_FROM and paper.thickness is not None}


def test_the_cards_of_the_shelf_are_as_thick_as_cards_are():
    """Between the rows of the table by interpolation, outside them in proportion."""
    found = {(slug, name): row for slug in SHELF for name, row in papers(on_shelf(slug)).items()}
    assert len(found) >= 8
    for where, (weight, thick) in found.items():
        inside = min(max(weight, min(TABLE)), max(TABLE))
        usual = np.interp(inside, list(TABLE), list(TABLE.values())) * weight / inside
        assert thick == pytest.approx(usual, rel=0.15), where


@pytest.mark.parametrize("weight", [160, 220, 280])
def test_a_thickness_is_never_made_from_a_weight(weight):
    """Card of which only the weight is known has no thickness, and is asked for it where one is needed."""
    made = tutorial(source().replace("{weight: 200 gsm, thickness: 0.26 mm}", f"{{weight: {weight} gsm}}"))
    paper = made.drawn.pieces[0].paper
    assert paper.weight == weight and paper.thickness is None
    given = tutorial(source().replace("{weight: 200 gsm, thickness: 0.26 mm}",
                                      f"{{weight: {weight} gsm, thickness: 0.5 mm}}"))
    assert given.drawn.pieces[0].paper.thickness.value == Fraction(1, 2)
