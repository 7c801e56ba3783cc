"""The tutorials on the shelf, each loaded once; and how one of them looks to somebody who draws it in the
other system.
"""
from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import yaml

from generator.folding import FoldedPlan
from generator.language.parts import site_parts
from generator.paper.records import Plan
from generator.regauge import DrawnEdition, read_drawn_edition
from generator.tutorial import Tutorial, load
from tests.house.tracked_files import ROOT
from tests.language.small_tutorials import BENCHES

SHELF = {path.parent.name: path for path in sorted((ROOT / "tutorials").glob("*/index.md"))}
SYSTEMS = ("mm", "in")


@cache
def in_languages(slug: str) -> Mapping[str, Tutorial]:
    """A tutorial of the shelf by the codes of its languages; it must load without any finding."""
    loaded = load(SHELF[slug], f"{slug}/index.md", BENCHES)
    assert loaded.tutorial is not None and loaded.findings == (), loaded.findings
    return {"en": loaded.tutorial, **loaded.translations}


def on_shelf(slug: str) -> Tutorial:
    """The same in English."""
    return in_languages(slug)["en"]


def folded_of(tutorial: Tutorial) -> tuple[Plan, FoldedPlan | None]:
    """What pictures of folded paper are drawn from: the drawn plan and its folded box."""
    return tutorial.drawn, tutorial.drawn_fold


def drawn_side(slug: str) -> DrawnEdition:
    """What regauging starts from."""
    return _drawn(slug, SHELF[slug].read_text(encoding="utf-8"))


def other_side(slug: str) -> DrawnEdition:
    """The same, with the two editions exchanged: as if the design had been drawn in the other system."""
    text = SHELF[slug].read_text(encoding="utf-8")
    _, head, body = text.split("---\n", 2)
    front = yaml.safe_dump(exchanged(yaml.safe_load(head)), allow_unicode=True, sort_keys=False)
    return _drawn(slug, f"---\n{front}---\n{body}")


def exchanged(front: Mapping[str, object]) -> dict[str, object]:
    """Front matter whose drawn lengths and edition have changed places."""
    drawn = front["drawn_in"]
    other = next(system for system in SYSTEMS if system != drawn)
    kept = {key: value for key, value in front["editions"].items() if key not in SYSTEMS}
    return {**front, "drawn_in": other,
            "lengths": {name: str(typed).split(" for ")[0] for name,
                        typed in front["editions"][other].items()},
            "editions": {**kept, drawn: front["lengths"]}}


def _drawn(slug: str, text: str) -> DrawnEdition:
    parts, wrong = site_parts(Path(SHELF[slug]))
    drawn, findings = read_drawn_edition(text, f"{slug}/index.md", parts)
    assert drawn is not None and not wrong, findings
    return drawn
