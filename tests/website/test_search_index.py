"""The index of the search: what stands in it, how it is written, and how large it is."""
from __future__ import annotations

import gzip
import json
import random

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.website.search_index import SearchedPage, search_index, words_of
from tests.time_limits import examples

LETTERS = "aäbcdeéfghijklmnoöpqrsßtuüvwxyz"


def numbers(written: str) -> list[int]:
    """Gaps, digits of five bits from the lowest: # to B end a number, ] to | go on."""
    found, at, value, shift = [], -1, 0, 0
    for code in map(ord, written):
        assert 35 <= code <= 66 or 93 <= code <= 124
        if code >= 93:
            value, shift = value + (code - 93 << shift), shift + 5
        else:
            at += value + (code - 35 << shift)
            found.append(at)
            value = shift = 0
    return found


def test_words_are_letters():
    """Small, each once, in order; no figures, no single letters."""
    assert words_of("Fold the Tab, 12 mm wide.", "the größte_Lasche – a 3D Ärger") == (
        "fold größte lasche mm tab the wide ärger")


@given(st.lists(st.lists(st.text(LETTERS, min_size=2, max_size=9), max_size=40), min_size=1, max_size=5))
@settings(deadline=None, max_examples=examples(100))
def test_words_read_back(texts):
    """A step has the words of its prose but those of its title and those that nobody searches for."""
    words = tuple(words_of(" ".join(each)) for each in texts)
    page = SearchedPage("a/", "Tea", "In a box.", (("x", "Cut the strip"),) * (len(texts) - 1), words)
    data = json.loads(search_index([page], ""))
    known = data["words"].split(" ")
    (url, title, summary, steps, own), = data["pages"]
    assert (url, title, summary) == ("a/", "Tea", "In a box.")
    said = [{known[k] for k in numbers(each)} for each in (own, *(step[2] for step in steps))]
    never = set(data["stop"])
    assert {"the", "a"} <= never and [step[:2] for step in steps] == [["x", "Cut the strip"]] * len(steps)
    assert said == [set(each.split()) - never - left for each, left in zip(
        words, [{"tea", "in", "box"}, *[{"cut", "the", "strip"}] * len(steps)], strict=True)]


def test_two_hundred_tutorials_are_small():
    """Two thousand steps of forty words each, of a language of three thousand: 60 kB compressed at most where
    tutorials resemble each other as those of a shelf do, a new length in an old text.
    """
    chance = random.Random(4)
    language = sorted({"".join(chance.choices(LETTERS, k=chance.randint(3, 9))) for _ in range(3000)})
    kinds = [[tuple(" ".join(sorted(chance.sample(language, 40))) for _ in range(11))] for _ in range(12)]
    pages = [SearchedPage(f"box-{n}/", f"Box {n}", "A box.",
                          tuple((f"step-{k}", f"Step {k}") for k in range(10)),
                          kinds[n % 12][0]) for n in range(200)]
    assert len(gzip.compress(search_index(pages, "glossary/").encode(), 6)) <= 60_000


def test_a_build_writes_it(project):
    """Titles, anchors and the words of prose; nothing of a picture, no figure; the same from the store."""
    assert project.build("--strict").exit_code == 0
    first = (project.site / "search.json").read_bytes()
    data = json.loads(first)
    url, title, _, steps, own = data["pages"][0]
    assert (url, title) == ("soap-sleeve/", "Sleeve for a bar of soap")
    assert steps[1][:2] == ["score-the-panels", "Score the panels"]
    known = data["words"].split(" ")
    assert {"wants", "air"} <= {known[k] for k in numbers(own)} and {"stall", "see"} <= {
        known[k] for k in numbers(steps[0][2])}
    assert not any(word.isdigit() for word in known) and not {"svg", "path", "viewbox"} & set(known)
    assert data["pages"][-1][0] == "glossary/" and "press" in data["words"]
    assert project.build("--strict").exit_code == 0
    assert (project.site / "search.json").read_bytes() == first
