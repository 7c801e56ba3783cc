"""What a text takes is listed: tools, and things that are no tools, in each language; and of what per box."""
from __future__ import annotations

import re

import pytest

from generator.geometry import Circle, Line
from generator.tutorial import Tutorial, load
from generator.tutorial.batch_supplies import BATCHES, ribbon_plans
from generator.website.page_metadata import howto_data
from generator.website.plain_text import measures_text
from tests.language.small_tutorials import BENCHES
from tests.tutorial.site_tutorials import SHELF, on_shelf

# Things that a step may ask for, as readers read them: (in a step, in the lists). Common words of the trade.
THINGS = {
    "en": [(r"\bkni(?:fe|ves)\b", "knife"), (r"\bneedle", "needle"), (r"\bpunch(?:es)?\b", "punch"),
           (r"\bbone folder", "bone folder"), (r"\b(?:hand|steel) rule|\b(?:along|lay|with) a rule", "rule"),
           (r"\bstylus\b", "stylus"), (r"\bscoring board", "scoring board"), (r"\btrimmer\b", "trimmer"),
           (r"\bpencil", "pencil"), (r"\bwet glue", "wet glue"), (r"\bglue stick", "glue stick"),
           (r"\b(?:double-sided )?tape (?:on|round|the)\b", "tape"), (r"\bclips?\b(?! off)", "clip"),
           (r"\bcoin\b", "coin"), (r"\bjar\b", r"\bjar\b"), (r"\bstamp\b", "stamp"), (r"\btin\b", r"\btin\b"),
           (r"\bspoon\b", "spoon"), (r"\bcloth\b", "cloth"), (r"\bbrush\b", "brush"),
           (r"\bsomething soft\b", "soft")],
    "de": [(r"\b(?:Bastelm|M)esser\b", "messer"), (r"\bNadel", "nadel"), (r"\bFalzbein", "falzbein"),
           (r"\bRillstift", "rillstift"), (r"\bRillbrett", "rillbrett"), (r"\bLineal\b", "lineal"),
           (r"\bPapierschneider", "papierschneider"), (r"\bBleistift", "bleistift"),
           (r"\b[Ff]lüssige[rnm]? Kleber", "flüssiger kleber"), (r"\bKlebestift", "klebestift"),
           (r"\bKlebeband", "klebeband"), (r"\b(?:Büro)?[Kk]lammer", "klammer"), (r"\bMünze", "münze"),
           (r"\bGlas\b", r"\bglas\b"), (r"\bStempel", "stempel"), (r"\bBüchse", "büchse"),
           (r"\bLöffel", "löffel"), (r"\bTuch\b", "tuch")],
}


def told(slug: str) -> dict[str, Tutorial]:
    """A tutorial in each language it is told in."""
    loaded = load(SHELF[slug], f"{slug}/index.md", BENCHES)
    return {"en": loaded.tutorial, **loaded.translations}


def words(parts) -> str:
    """Prose on one line, with a sign for each measure."""
    return " ".join("".join(part if isinstance(part, str) else "¤" for part in parts).split())


@pytest.mark.parametrize("slug", SHELF)
def test_what_a_step_names_is_listed(slug):
    """Among the tools, what serves instead of them, or the supplies, in the language of the step."""
    for language, tutorial in told(slug).items():
        listed = " ".join([*(f"{tool.name} {tool.why} {tool.instead}" for tool in tutorial.tools),
                           *(words(supply) for supply in tutorial.supplies)]).lower()
        text = " ".join(words(step.prose) for step in tutorial.steps)
        missing = {named[0] for pattern, wanted in THINGS[language]
                   if (named := re.search(pattern, text)) and not re.search(wanted, listed)}
        assert not missing, (slug, language, missing)


@pytest.mark.parametrize("slug", SHELF)
def test_what_the_paper_takes_is_listed(slug):
    """Who looks for what can be made without a tool must not find what needs it: a punch for each punched
    hole, a stylus for each score, a knife for windows and curves; and no tool that nothing takes.
    """
    tutorial = on_shelf(slug)
    tools = {tool.word for tool in tutorial.tools}
    states = [plan.final_state(info.id) for plan in tutorial.plans.values() for info in plan.pieces]
    marks = [mark for state in states for mark in state.marks]
    strokes = [rim.stroke for state in states for rim in state.outline]
    assert ("punch" in tools) == any(isinstance(mark.whole[0], Circle) and mark.verb == "punch"
                                     for mark in marks)
    assert ("stylus" in tools) == any(mark.verb == "score" for mark in marks)
    assert ("board" in tools) >= any(mark.tool == "board" for mark in marks)
    assert "knife" in tools or all(isinstance(stroke, Line) for stroke in strokes)
    assert "knife" in tools or not any(len(hole) > 1 for state in states for hole in state.holes)
    assert ("thread" in tools) == any(act.kind.word == "thread" for act in tutorial.drawn.acts)


def test_a_ribbon_round_eight_boxes_is_for_eight():
    """One length for each eight boxes, rounded up, and words that say so, in text and data; other ribbons
    are for one box.
    """
    ring, caddy = on_shelf("ring-of-wedges"), on_shelf("tea-caddy")
    assert "for eight boxes together" in words(ring.supplies[1])
    lengths = [value.wordings["mm"].text for value in ribbon_plans(ring)[0].lengths]
    assert dict(zip(BATCHES, lengths, strict=True)) == {1: "1 m", 6: "1 m", 12: "1.9 m", 24: "2.8 m",
                                                        50: "6.5 m"}
    assert "for one box" in words(caddy.supplies[1])
    for tutorial in (ring, caddy):
        data = howto_data(tutorial, "en", None, None)
        said = " ".join(each["name"] for each in data["supply"])
        assert data["yield"] == "one box" and (" together" in said or " for one box" in said)
        assert "What you need for one box:" in measures_text(tutorial)
