"""Every kind of mark and act leaves a trace in every output that shows its work, in both languages.

A tutorial is made with one act and without it, and all that is published of
the two is compared. What a kind rightly leaves no trace in stands in
:data:`NO_TRACE`, with the reason.
"""
from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from io import BytesIO, StringIO

import ezdxf
import pdfplumber
import pikepdf
import pytest
from lxml import etree

from generator.drawing.backends.png import png as png_picture
from generator.drawing.backends.svg import svg
from generator.drawing.process_table import PROCESS_BY_KEY
from generator.drawing.steps.step_picture import step_pictures
from generator.drawing.templates.bench_rows import card_rows
from generator.locale import locale_for
from generator.paper.work_kinds import ACT_KINDS, MARK_KINDS, Effect
from generator.tutorial import Tutorial
from generator.tutorial.measures import edition_data, measures_table
from generator.tutorial.template_files import template_files
from generator.tutorial.tools_and_cautions import tool_need, tools_needed
from tests.tutorial.small_source import load, source, tutorial

STRIP = "strip = sheet(width=sides*panel + tab, height=wall, paper=card)"
RING = f"""{STRIP}
lines = score(strip, x=every(panel, sides))
fold(lines, mountain)
walls = faces(strip, x=lines.bays, y=bottom..top)"""
LACED = f"""{RING}
holes = punch(strip, x=lines.bays.middle, y=tab, diameter=tab/4, measured_from=top)
glue(faces(strip, x=lines.last..right, y=bottom..top), under=walls.first)
lace = ribbon(length=10*wall)"""
FLAT = f"""{STRIP}
lines = score(strip, x=every(panel, sides))
walls = faces(strip, x=lines.bays, y=bottom..top)"""
NET = "base = panel(rectangle(width=panel, height=panel), paper=card)"
WALLS = f"{NET}\nwalls = attach(base.edges, rectangle(height=tab))"

# kind → the fence before the act, the act, the fence after it
CASES: Mapping[str, tuple[str, str, str]] = {
    "score": (STRIP, "u = score(strip, x=panel)", ""),
    "tick": (STRIP, "u = tick(strip, x=panel, edge=top)", ""),
    "cut": (STRIP, "u = cut(strip, x=panel, y=tab..panel)", ""),
    "perforate": (STRIP, "u = perforate(strip, x=panel)", ""),
    "slit": (STRIP, "u = slit(strip, x=panel, y=tab..panel)", ""),
    "punch": (STRIP, "u = punch(strip, x=panel, y=panel, diameter=tab)", ""),
    "sheet": (STRIP, "other = sheet(width=panel, height=wall, paper=card)", ""),
    "panel": (STRIP, NET, ""),
    "liner": (FLAT, "mat = inset(walls.first, by=tab/2, paper=card)", ""),
    "band": (FLAT, "belt = band(walls, width=tab, lap=tab, paper=card)", ""),
    "ribbon": (STRIP, "lace = ribbon(length=10*wall)", ""),
    "remove": (STRIP, "remove(strip, x=panel..2*panel, y=tab..panel)", ""),
    "notch": (STRIP, "notch(strip, edge=top, at=panel, width=tab, depth=tab)", ""),
    "attach": (NET, "lid = attach(base.edges[2], rectangle(height=tab))", ""),
    "fold": (f"{STRIP}\nu = score(strip, x=panel)", "fold(u, mountain)", ""),
    "glue": (RING, "glue(faces(strip, x=lines.last..right, y=bottom..top), under=walls.first)", ""),
    "seam": (WALLS, "seam(walls.edges.each[4], rotated(walls.edges.each[2]))", ""),
    "thread": (LACED, "thread(lace, through=holes)", ""),
    "gather": (f"{LACED}\nthread(lace, through=holes)", "gather(strip, by=lace)", ""),
    "turn": (STRIP, "turn(strip, quarter)", "u = score(strip, x=tab)"),
    "turn_over": (STRIP, "turn_over(strip)", "u = score(strip, x=tab)"),
    "clear": (FLAT, "label = clear(walls[2], by=tab/2)", ""),
    "stamp": (FLAT, "stamp(walls[2])", ""),
    "emboss": (FLAT, "emboss(walls[2])", ""),
}
PICTURE = ("svg", "png", "words")
PRINTED = ("inside", "mirrored", "ticks")
MACHINE = ("cutting svg", "cutting dxf")
MEASURED = ("json", "table")
CARD = ("bench card", "bench card drawing")
OUTPUTS = (*PICTURE, *PRINTED, *MACHINE, *CARD, *MEASURED)
NOT_MEASURED = "measures list named lengths, blanks and marks"
NOT_CUT = "no line that a machine or a needle makes"
NO_TRACE: Mapping[Effect, Mapping[str, str]] = {
    Effect.RIBBON: dict.fromkeys((*PRINTED, *MACHINE), "it is not paper")
    | dict.fromkeys((*PICTURE, *CARD), "drawn and told where it is threaded"),
    Effect.ATTACH: {"bench card": "a net is cut out as it is drawn there"},
    Effect.TURN: {"table": NOT_MEASURED},
    Effect.CUT_AWAY: dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.FOLD: dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.GLUE: dict.fromkeys(("ticks", *MACHINE), NOT_CUT) | dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.SEAM: dict.fromkeys((*PRINTED, *MACHINE), NOT_CUT) | dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.THREAD: dict.fromkeys((*PRINTED, *MACHINE), NOT_CUT) | dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.GATHER: dict.fromkeys((*PRINTED, *MACHINE), NOT_CUT) | dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.DECORATE: dict.fromkeys((*PRINTED, *MACHINE), NOT_CUT) | dict.fromkeys(MEASURED, NOT_MEASURED),
    Effect.KEEP_CLEAR: dict.fromkeys((*PRINTED, *MACHINE, *CARD), NOT_CUT)
    | dict.fromkeys(MEASURED, NOT_MEASURED),
}


@cache
def _tutorial(word: str, with_act: bool, code: str) -> Tutorial:
    before, act, after = CASES[word]
    made = tutorial(source("\n".join(filter(None, (before, act if with_act else "", after))), "Make it."))
    return replace(made, revisions={"mm": "000000", "in": "000000"}, locale=locale_for(code))


@cache
def _published(word: str, with_act: bool, code: str) -> Mapping[str, object]:
    """All outputs by name; what only differs by the source's revision or its lines is the same."""
    made = _tutorial(word, with_act, code)
    pictures = step_pictures(made.drawn, made.regauged, 1, made.locale)
    files = template_files(made, systems=("mm",), papers=("a4",)).files
    found: dict[str, object] = {
        "svg": [svg(picture.recording, "", "", "k") for picture in pictures],
        "png": [png_picture(picture.recording, 3.0).tobytes() for picture in pictures],
        "words": [(picture.description, picture.told) for picture in pictures],
        "json": json.dumps([edition_data(made, system) for system in ("mm", "in")]),
        "table": measures_table(made),
        "bench card": [row.text for row in card_rows(made.drawn, False, made.locale) if row.text.strip()],
        "bench card drawing": [each.data for each in files if each.kind == "bench-card"],
    }
    found |= {each.face: each.data for each in files if each.kind == "template"}
    return found | {f"cutting {each.format}": each.data for each in files if each.kind == "cutting"}


def _plain(words: str) -> str:
    return words.replace("\u00a0", " ")


def test_the_rows_of_a_card_are_printed():
    """What is compared as the bench card is what a reader of the PDF finds."""
    for code, words in (("en", "Perforate u: 30 mm from the left, 60 mm long"),
                        ("de", "Perforieren, u: 30 mm von links, 60 mm lang")):
        done = _published("perforate", True, code)
        with pdfplumber.open(BytesIO(done["bench card drawing"][0])) as document:
            text = " ".join((page.extract_text() or "") for page in document.pages)
        assert words in _plain(text) and words in map(_plain, done["bench card"])


def test_every_kind_has_a_case():
    """A new record of the table must be drawn here."""
    assert set(CASES) == {word for word, kind in ACT_KINDS.items() if kind.leaves_trace}
    assert set(MARK_KINDS) <= set(CASES)


def test_no_mark_is_excused():
    """Only acts that are no marks and lay no paper down may leave an output as it is."""
    assert Effect.MARK not in NO_TRACE and Effect.BLANK not in NO_TRACE


@pytest.mark.parametrize("code", ["en", "de"])
@pytest.mark.parametrize("word", CASES)
def test_a_kind_leaves_its_trace(word, code):
    """With the act every output differs from what it is without; the excused ones are the same."""
    done, bare = _published(word, True, code), _published(word, False, code)
    assert set(OUTPUTS) == set(done) == set(bare)
    same = {name for name in OUTPUTS if done[name] == bare[name]}
    excused = set(NO_TRACE.get(ACT_KINDS[word].effect, ()))
    assert same <= excused, f"{word} leaves no trace in {sorted(same - excused)}"


@pytest.mark.parametrize("word", CASES)
def test_both_languages_have_words_for_a_kind(word):
    """The bench card and the words of the picture are German in German, where they say anything of it."""
    for name in ("words", "bench card"):
        if name not in NO_TRACE.get(ACT_KINDS[word].effect, ()):
            assert _published(word, True, "en")[name] != _published(word, True, "de")[name]


@pytest.mark.parametrize("word", MARK_KINDS)
def test_a_mark_has_its_layer_on_every_face(word):
    """Each face has the optional-content group of its process, with its processing step (ISO 19593-1)."""
    process = PROCESS_BY_KEY[MARK_KINDS[word].process]
    for face in PRINTED:
        with pikepdf.open(BytesIO(_published(word, True, "en")[face])) as document:
            groups = {str(group.Name): group.GTS_Metadata for group in document.Root.OCProperties.OCGs}
        assert str(groups[process.name].GTS_ProcStepsType) == f"/{process.kind}"


@pytest.mark.parametrize("word", MARK_KINDS)
def test_a_mark_is_drawn_in_its_line(word):
    """The step picture has its class, as the line of the pen or as a hole."""
    process = PROCESS_BY_KEY[MARK_KINDS[word].process]
    line = "hole" if process.is_hole else str(process.role)
    assert any(f'class="line {line} now"' in text for text in _published(word, True, "en")["svg"])


@pytest.mark.parametrize("word", MARK_KINDS)
def test_a_mark_is_for_a_machine(word):
    """A group of the cutting SVG and a layer of the DXF hold it, in its colours."""
    process = PROCESS_BY_KEY[MARK_KINDS[word].process]
    done = _published(word, True, "en")
    group, = etree.fromstring(done["cutting svg"]).xpath(f"//*[@id='{process.key}']")
    assert group.get("stroke") == process.colour and group.xpath("*[local-name()='path']")
    document = ezdxf.read(StringIO(done["cutting dxf"].decode()))
    layers = {entity.dxf.layer for entity in document.modelspace()}
    own, = (name for name in layers if name.partition("_")[2] == process.key.upper())
    assert document.layers.get(own).color == process.index


def test_two_processes_of_a_mark_never_look_alike_to_a_machine():
    """A machine tells perforations from cuts and from scores by their colour."""
    own = [PROCESS_BY_KEY[key] for key in ("score", "perforate", "punch", "cut")]
    assert len({process.colour for process in own}) == len({process.index for process in own}) == len(own)


def test_a_perforation_is_cut_in_dashes_that_hold():
    """About 3 mm cut and 1 mm left (common practice, no source), from edge to edge of a strip 60 mm high."""
    text = _published("perforate", True, "en")["cutting dxf"].decode()
    drawn = ezdxf.read(StringIO(text)).modelspace()
    lines = [entity for entity in drawn if entity.dxf.layer.endswith("PERFORATE")]
    spans = sorted((min(e.dxf.start.y, e.dxf.end.y), max(e.dxf.start.y, e.dxf.end.y)) for e in lines)
    assert spans[0][0] == pytest.approx(0) and spans[-1][1] == pytest.approx(60)
    assert all(high - low == pytest.approx(3, abs=0.3) for low, high in spans)
    assert all(b[0] - a[1] == pytest.approx(1, abs=0.1) for a, b in zip(spans, spans[1:], strict=False))


def test_a_perforation_need_not_be_folded_and_may_be():
    """Beside folds no warning is given for it; a fold along it stays on the layer for perforations."""
    for verb, codes in (("score", {"score-unfolded"}), ("perforate", set())):
        fence = RING.replace("\nfold", f"\nweak = {verb}(strip, y=tab)\nfold") + f"\n{CASES['glue'][1]}"
        assert {each.code for each in load(source(fence, "Make it.")).findings} == codes
    folded = tutorial(source(f"{STRIP}\nu = perforate(strip, x=panel)\nfold(u, mountain)", "Make it."))
    cutting = next(each for each in template_files(folded, ("mm",), ("a4",)).files if each.format == "svg")
    assert {group.get("id") for group in etree.fromstring(cutting.data).xpath("//*[local-name()='g']")} == {
        "perforate", "outline"}


@pytest.mark.parametrize("code", ["en", "de"])
def test_a_perforation_asks_for_its_tool(code):
    """The list of tools has the wheel, and what serves instead."""
    plan = _tutorial("perforate", True, code).drawn
    names = {tool_need(word, locale_for(code)).name for word in tools_needed(plan, ())}
    assert {"en": "Perforating wheel", "de": "Perforierrad"}[code] in names
