"""An error that nobody foresaw: it is told in one line, names its stage, and the old site stays."""
from __future__ import annotations

import importlib
import re
import shutil

import pytest

from generator.findings import Span, stage, stage_finding

pytestmark = pytest.mark.unforeseen

STAGES = {
    "generator.tutorial.load.evaluate_both": "working out the paper",
    "generator.tutorial.load.fold_editions": "folding the box",
    "generator.tutorial.load.word_prose": "wording the prose",
    "generator.tutorial.load._assembled": "putting its steps together",
    "generator.language.evaluation.evaluate.ExpressionEvaluator.value": "working out step 1",
    "generator.website.tutorial_pages.slider_data": "laying the way from flat to finished",
    "generator.website.pictures.overview": "drawing the blanks",
    "generator.website.rendered_tutorial.folded_pictures": "drawing the folded box",
    "generator.website.pictures.step_pictures": "drawing the pictures of step 1",
    "generator.website.rendered_tutorial.template_files": "drawing its templates",
    "generator.website.rendered_tutorial.sheet_views": "laying its blanks on sheets",
    "generator.website.rendered_tutorial.troubleshoot": "trying its marks",
    "generator.website.share_picture.share_picture": "drawing the picture to share",
    "generator.website.tutorial_pages.measures_text": "making its files",
    "generator.website.tutorial_pages.tutorial_view": "making its pages",
    "generator.website.site_builder.frame_photos": "putting photos and measures into the text",
    "generator.website.page_bodies.PageBodies.page": "filling the template of the page",
    "generator.website.page_bodies.PageBodies.print_view": "filling the template of the page",
    "generator.website.feed.atom_feed": "making the site",
}


def patched(monkeypatch: pytest.MonkeyPatch, function: str) -> None:
    """Let a function raise; its module is asked by name, since a room may export one of that name too."""
    module, *rest, name = re.fullmatch(r"([a-z_.]+)\.(?:([A-Z]\w+)\.)?(\w+)", function).groups()
    home = importlib.import_module(module)
    monkeypatch.setattr(home if rest == [None] else getattr(home, rest[0]), name, broken)


def broken(*_: object, **__: object) -> object:
    """What any stage is replaced by."""
    return 1 // 0


@pytest.mark.parametrize(("function", "name"), STAGES.items(), ids=STAGES.values())
def test_a_stage_that_fails_is_named(project, edited, monkeypatch, function, name):
    """The tutorial, the stage and what mends it are printed without a traceback, and nothing is published."""
    project.site.mkdir()
    (project.site / "old.html").write_text("old", encoding="utf-8")
    edited("summary:", "published: 2026-01-02\nsummary:")
    shutil.rmtree(project.root / ".foldgauge", ignore_errors=True)      # else it would find what it needs
    patched(monkeypatch, function)
    result = project.build()
    assert result.exit_code == 1
    assert f"{name} stopped at an unforeseen ZeroDivisionError" in result.output
    assert "please report it" in result.output and "Traceback" not in result.output
    assert ("mkdocs.yml:1:1" if name == "making the site" else "tutorials/") in result.output
    assert project.files() == {"old.html": b"old"}


def test_the_step_is_named_where_its_text_cannot_be_converted(project, monkeypatch):
    """Text that Markdown fails on is found among the steps, with the line of its heading."""
    from mkdocs.structure.pages import Page
    render = Page.render

    def failing(page: Page, *rest: object) -> None:
        if "Score at" in (page.markdown or ""):
            raise ValueError("no such thing")
        render(page, *rest)

    monkeypatch.setattr(Page, "render", failing)
    project.source.write_text(project.source.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    result = project.build()
    line = project.source.read_text(encoding="utf-8").split("\n").index("## Score the panels") + 1
    assert (f"tutorials/soap-sleeve/index.md:{line}:1: error: turning Markdown into HTML of step 2 stopped "
            "at an unforeseen ValueError: no such thing [stage-failed]") in result.output


def test_the_traceback_is_shown_to_whoever_asks(project, edited, monkeypatch):
    """With --verbose it stands below the finding."""
    edited("20 min", "25 min")
    patched(monkeypatch, "generator.website.rendered_tutorial.blank_views")
    assert "in broken" in project.build("--verbose").output


def test_the_inner_stage_is_named():
    """A stage within another knows the place better."""
    with pytest.raises(Exception, match="cutting") as found, stage("making", Span("a.md")), \
            stage("cutting", Span("a.md", 3)):
        raise RecursionError("deep\n   down" + "x" * 900)
    (one,) = found.value.findings
    assert one == stage_finding("cutting", Span("a.md", 3), RecursionError("deep down" + "x" * 191))
    assert one.code == "stage-failed" and "test_stages.py" in one.trace
