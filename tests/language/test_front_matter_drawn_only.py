"""The drawn side of the front matter alone.

Nothing under editions: is judged, and what can be read there is taken.
"""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.language.front_matter import read_front_matter
from generator.language.source.document import read_document

HEAD = ("---\ntitle: A box\ndrawn_in: mm\nlengths: {panel: 30 mm, wall: 60 mm}\n"
        "tools: {hole: {mm: 3 mm, in: 1/8 in}}\n")


def read(editions: str, drawn_only: bool = True):
    """The front matter with these editions."""
    return read_front_matter(read_document("box.md", f"{HEAD}{editions}---\n\n## Cut\n"),
                             drawn_only=drawn_only)


@pytest.mark.parametrize(("editions", "said"), [
    ("", {}), ("editions:\n", {}), ("editions: {}\n", {}), ("editions: 5\n", {}), ("editions: {in: }\n", {}),
    ("editions: {in: {panel: 1 1/4 in}}\n", {"panel": Fraction(5, 4)}),
    ("editions: {in: {panel: 1 1/4 in, wall: much}}\n", {"panel": Fraction(5, 4)}),
    ("editions: {in: {panel: 30 mm, wall: 2 1/2 in, old: 3 in}}\n", {"wall": Fraction(5, 2)}),
    ("editions: {mm: {panel: 30 mm}, in: {wall: [1]}, inch: 3}\n", {})])
def test_what_cannot_be_read_is_unsaid(editions, said):
    """The front is there without a finding.

    Lengths that were not said stand at their drawn value, and are named.
    """
    front, findings = read(editions)
    assert findings == () and front is not None
    assert front.missing_lengths == {"panel", "wall"} - said.keys()
    inches = {name: Fraction(5, 127) * front.lengths["in"][name].value for name in said}
    assert inches == said
    assert all(front.lengths["in"][n].value == front.lengths["mm"][n].value for n in front.missing_lengths)
    assert front.lengths["in"]["hole"].value == Fraction(127, 40)


@pytest.mark.parametrize("wrong",
                         ["lengths: {panel: much}\n", "papers: {card: {weight: heavy}}\n", "colour: red\n"])
def test_the_drawn_side_is_judged_as_always(wrong):
    """What is wrong elsewhere is found all the same."""
    text = f"---\ntitle: A box\ndrawn_in: mm\n{wrong}---\n\n## Cut\n"
    assert read_front_matter(read_document("box.md", text),
                             drawn_only=True)[1] == read_front_matter(read_document("box.md", text))[1] != ()


@pytest.mark.parametrize(("within", "share"),
                         [("12 %", Fraction(12, 100)), ("12%", Fraction(12, 100)), ("12", Fraction(12, 100)),
                                               ("8.5 %", Fraction(85, 1000))])
def test_the_window_of_an_edition_is_read(within, share):
    """How far the other edition may lie from the drawn one, where its author allows another window."""
    editions = f"editions: {{in: {{panel: 1 1/4 in, wall: 2 1/2 in}}, within: {within}}}\n"
    for drawn_only in (True, False):
        assert read(editions, drawn_only)[0].within == share


@pytest.mark.parametrize("within", ["0 %", "51 %", "-3 %", "wide", "true", "[8]", "1/8 in"])
def test_a_window_that_is_none_is_refused(within):
    """From 1 % to 50 %; anything else is a finding, and passed over where editions are not judged."""
    editions = f"editions: {{in: {{panel: 1 1/4 in, wall: 2 1/2 in}}, within: {within}}}\n"
    _, findings = read(editions, drawn_only=False)
    assert [f.code for f in findings] == ["front-value"] and "window" in findings[0].message
    assert read(editions)[0].within is None
