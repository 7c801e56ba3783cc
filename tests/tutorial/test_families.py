"""Families: sources that are started in an author's dimensions."""
from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest

from generator.findings import render_all
from generator.tutorial import LoadedSource, families, load_text
from generator.tutorial.families import (
    UnsuitableDimensions,
    dimension,
    dimensions,
    family,
    family_names,
    new_source,
)
from generator.units import default_bench, length
from tests.time_limits import ASKED

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
FAMILIES = [family(name) for name in family_names()]
# Dimensions of several sizes; each must give a box of which nothing is to be said, in both systems.
STARTED = [
    ("caddy", "mm", {"sides": "6", "panel": "40mm", "wall": "80 mm"}),
    ("caddy", "in", {"sides": "10", "panel": "1 in", "wall": '2 1/2"'}),
    ("lidded-box", "mm", {"long": "60 mm", "short": "40 mm", "wall": "15 mm"}),
    ("lidded-box", "in", {"long": "6 in", "short": "4 in", "wall": "2 in"}),
    ("tray", "mm", {"long": "200 mm", "short": "150 mm", "rise": "60 mm"}),
    ("tray", "in", {"long": "6 in", "short": "3 1/2 in", "rise": "2 in"}),
    ("envelope", "mm", {"side": "15 cm"}),
    ("envelope", "in", {"side": "6 in", "border": "1/4 in"}),
    ("pouch", "mm", {"face": "70 mm", "body": "110 mm"}),
    ("pouch", "in", {"face": "4 in", "body": "6 in"}),
    ("hinged-box", "mm", {"long": "80 mm", "wide": "60 mm", "wall": "35 mm"}),
    ("hinged-box", "in", {"long": "4 in", "wide": "3 in", "wall": "1 1/2 in"}),
    ("drawer", "mm", {"long": "120 mm", "wide": "80 mm", "wall": "20 mm"}),
    ("drawer", "in", {"long": "3 in", "wide": "2 in", "wall": "3/4 in"}),
    ("carrier", "mm", {"front": "100 mm", "side": "60 mm", "wall": "120 mm"}),
    ("carrier", "in", {"front": "3 1/4 in", "side": "2 in", "wall": "3 3/4 in"}),
    ("pyramid", "mm", {"base": "80 mm", "slant": "100 mm"}),
    ("pyramid", "in", {"base": "2 1/4 in", "slant": "2 3/4 in"}),
]
# each family in one system, in turn; `make bench` starts them in both
TRIED = STARTED if ASKED else [each for k, each in enumerate(STARTED) if k % 4 in (0, 3)]
# a base that is higher than it is deep, and a lid that is not: 152 × 62 mm, 75 mm high
TRIED = [*TRIED, ("lidded-box", "mm", {"long": "150 mm", "short": "60 mm", "wall": "75 mm"})]


@pytest.fixture(autouse=True)
def loaded_once(monkeypatch):
    """What is started loads the source that it has made; the test looks at the same."""
    monkeypatch.setattr(families, "load_text", lambda text, shown, benches: (
        loaded(text) if benches is BENCHES else load_text(text, shown, benches)))


@cache
def loaded(text: str) -> LoadedSource:
    """A source, loaded once."""
    return load_text(text, "box.md", BENCHES)


def started(name: str, system: str, given: dict[str, str]):
    """The source of a family in these dimensions."""
    chosen = family(name)
    return new_source(chosen, "A box", system, {n: dimension(chosen, n, v, system) for n, v in given.items()},
                      BENCHES, "box.md")


# walls of 320 mm together, a floor of 200 mm with walls of 60 mm, ten panels of 30 mm and a tab: longer than
# 12 in, the largest sheet
LARGER_THAN_THE_SHEETS = ({"front": "100 mm", "side": "60 mm", "wall": "120 mm"},
                          {"long": "200 mm", "short": "150 mm", "rise": "60 mm"},
                          {"sides": "10", "panel": "1 in", "wall": '2 1/2"'})


@pytest.mark.parametrize("each", FAMILIES, ids=lambda each: each.name)
def test_a_family_is_a_sound_source_itself(each):
    """Its file, as it stands, loads without an error or a warning, and all that it asks for can be given."""
    loaded = load_text(each.source, f"{each.name}.md", BENCHES)
    assert loaded.tutorial is not None and not loaded.findings, render_all(loaded.findings,
                                                                           {f"{each.name}.md": loaded.source})
    assert each.help.endswith(".") and 1 <= len(each.asks) <= 4
    assert set(each.asks) <= set(each.names) and set(each.follows) <= set(each.names) - set(each.asks)


@pytest.mark.parametrize("each", FAMILIES, ids=lambda each: each.name)
def test_what_follows_is_what_its_file_says(each):
    """Without any dimensions of one's own the drawn edition is that of the file; given ones stay, whatever
    would follow.
    """
    counts, lengths = dimensions(each, {}, BENCHES["mm"])
    assert lengths == {n: q.value for n, q in each.lengths["mm"].items()} and counts == each.counts
    name = next(iter(each.follows))
    assert dimensions(each, {name: length(7)}, BENCHES["mm"])[1] == {**lengths, name: 7}


@pytest.mark.parametrize(("name", "system", "given"), TRIED, ids=str)
def test_a_box_in_ones_own_dimensions(name, system, given):
    """It loads with no error and no warning but that of a box larger than the family's sheets, has the
    dimensions that were given, and an edition in the other system.
    """
    made = started(name, system, given)
    large = ["sheet-small"] if given in LARGER_THAN_THE_SHEETS else []
    assert sorted({f.code for f in made.findings}) == large, render_all(made.findings, {"box.md": made.text})
    found = loaded(made.text)
    tutorial = found.tutorial
    assert found.findings == made.findings and tutorial.drawn_in == system and tutorial.front.title == "A box"
    for key, text in given.items():
        wanted = dimension(family(name), key, text, system)
        if key in tutorial.front.counts:
            assert tutorial.front.counts[key] == wanted
        else:
            assert tutorial.front.lengths[system][key].value == wanted.value
            other = tutorial.front.lengths[tutorial.other][key].value
            assert abs(other - wanted.value) <= Fraction(3, 10) * wanted.value + Fraction(1)
    grid = BENCHES[tutorial.other].grid("rule")
    assert all(q.value % grid == 0 for q in tutorial.front.lengths[tutorial.other].values())


def test_no_box_is_refused_with_the_reason():
    """Walls too high for the tabs, a panel narrower than its tab: what must hold is said, with the
    measures.
    """
    with pytest.raises(UnsuitableDimensions, match="no box comes") as wrong:
        started("lidded-box", "mm", {"wall": "100 mm"})
    assert [f.code for f in wrong.value.findings] == ["expect-fails"]
    assert "200 mm is not at most 120 mm" in wrong.value.findings[0].message
    with pytest.raises(UnsuitableDimensions) as wrong:
        started("caddy", "mm", {"panel": "5 mm"})
    assert "expect-fails" in {f.code for f in wrong.value.findings}


def test_where_nothing_fits_it_is_said_why():
    """On a bench in inches with marks an inch apart no other edition lies near; the search tells what
    contradicts.
    """
    coarse = {"mm": default_bench("mm"), "in": default_bench("in")}
    coarse["in"] = type(coarse["in"])("in",
                                      {name: type(tool)(name, "in", Fraction(127, 5) * 9) for name,
                                       tool in coarse["in"].tools.items()})
    chosen = family("envelope")
    with pytest.raises(UnsuitableDimensions, match="nothing fits in inches"):
        new_source(chosen, "A box", "mm", {}, coarse, "box.md")


@pytest.mark.parametrize(("name", "text", "reason"), [
    ("panel", "2 in", "is not in the system"), ("panel", "30", "unit"), ("sides", "8 mm", "whole number"),
    ("sides", "many", "whole number"), ("width", "30 mm", "has no 'width'"),
    ("panel", "0 mm", "above nothing|longer than nothing|0 mm")])
def test_a_dimension_that_cannot_be(name, text, reason):
    """What is typed wrongly is refused with the way to write it."""
    with pytest.raises(UnsuitableDimensions, match=reason):
        dimension(family("caddy"), name, text, "mm")


def test_there_is_no_such_family():
    """Only those that come along are there."""
    with pytest.raises(KeyError):
        family("../commands/first")
