"""A tutorial made by hand, as the website is handed one: the market stall's tea caddy in four steps."""
from __future__ import annotations

from generator.findings import Span
from generator.language.front_matter import Credit, FrontMatter
from generator.tutorial import Caution, ComputedValue, Fact, MeasureWording, Photo, Step, ToolNeed, Tutorial
from generator.units import (
    as_html,
    as_speech,
    as_text,
    display_measure,
    list_html,
    list_speech,
    list_text,
    parse_length,
)

FILE = "tutorials/tea-caddy/index.md"
PLACE = Span(FILE, 12, 5, 8)


def measure(mm: str, inch: str) -> ComputedValue:
    """One length of both editions, as prose holds it."""
    words = {system: display_measure(parse_length(text), system) for system,
             text in (("mm", mm), ("in", inch))}
    return ComputedValue("panel", PLACE,
                         {s: MeasureWording(as_text(w), as_speech(w), as_html(w)) for s, w in words.items()},
                         False)


def measures(mm: str, inch: str) -> ComputedValue:
    """A list of lengths of both editions; each is given as texts with commas between."""
    lists = {system: [parse_length(text) for text in texts.split(",")] for system,
             texts in (("mm", mm), ("in", inch))}
    return ComputedValue("panels.marks", PLACE,
                         {s: MeasureWording(list_text(q, s), list_speech(q, s), list_html(q, s))
                                         for s, q in lists.items()}, False)


def said(text: str) -> ComputedValue:
    """A word that is the same in both editions."""
    return ComputedValue("words(sides)", PLACE, {s: MeasureWording(text, text, text) for s in ("mm", "in")},
                         True)


FRONT = FrontMatter(
    file=FILE, title="Eight-sided tea caddy",
    summary="One strip becomes a caddy whose top gathers into a dome.",
    drawn_in="mm", counts={}, lengths={}, tools=frozenset(), papers={}, sheets=(), level="easy", minutes=80,
    supplies=(),
    uses=(), credit=Credit(title="Gathered caddy", author="drawn at the stall", licence="CC BY 4.0",
                           source="the stall’s notebook, https://stall.example/notebook."))

STEPS = (
    Step(1, "Cut the strip", "cut-the-strip", 30,
         ("Cut a strip ", measure("252 mm", "10 1/2 in"), " long.\n\n- *Long* side first.\n"), True),
    Step(2, "Score the panels", "score-the-panels", 40,
         ("Score at ", measures("30 mm,60 mm,90 mm", "1 1/4 in,2 1/2 in,3 3/4 in"), ", ", said("eight"),
          " in all.\n",
          Photo("strip.jpg", "A strip with [eight] panels.", 'The "strip" after the last score', PLACE),
          "Go on to [the tab](#glue-the-tab), or read [about the stall](../about.md).\n"), True),
    Step(3, "1. Fold & <burnish>", "fold-burnish", 50, ("See `panel`.\n",), True),
    Step(4, "Glue the tab of 12 mm", "glue-the-tab", 60, ("Hold it.\n",), False,
         ("Glue the tab of ", measure("12 mm", "1/2 in"))))

CADDY = Tutorial(
    slug="tea-caddy", file=FILE, front=FRONT, intro=("Loose tea wants a box that **closes itself**.\n",),
    steps=STEPS,
    plans={}, facts=(Fact("Finished size", (measure("72 mm", "3 in"), " across")),),
    supplies=(("card, ", measure("252 mm", "10 1/2 in"), ": the caddy"),),
    tools=(ToolNeed("Trimmer", "for the blank", "a knife & a rule"),),
    cautions=(Caution("blade", "Blades", "Cut away from your fingers."),),
    differ=("The inch caddy is ", measure("6 mm", "1/4 in"), " taller."),
    revisions={"in": "7KQ2MX", "mm": "9T4W3A"},
    names={},
    benches={})
