"""A tutorial with everything drawn, and by what its card is sifted."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from shapely import Polygon

from generator.drawing import step_pictures
from generator.drawing.folded.slider_data import SliderData
from generator.findings import Span, stage
from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.tutorial.batch_supplies import sheet_plans
from generator.tutorial.folded_sizes import finished_measures
from generator.tutorial.template_files import TemplateSet
from generator.tutorial.tools_and_cautions import tool_need
from generator.website.build_cache import CachedResults
from generator.website.downloads import SliderFile, slider_file
from generator.website.filters import FilterValues
from generator.website.guides import GuidesView, guides_view
from generator.website.pictures import (
    FoldedPictures,
    PictureView,
    folded_pictures,
    overview,
    picture_view,
)
from generator.website.sheets import SheetView, sheet_view
from generator.website.template_cache import cached_templates


@dataclass(frozen=True, slots=True)
class RenderedTutorial:
    """One tutorial with its pictures.

    ``steps`` by step number, ``overview`` one for each piece, ``front`` for the gallery.

    ``templates`` are the files that go with it, ``sheets`` what it is cut from,
    ``guides`` what curves may be traced with, ``slider`` the way from flat to finished.
    """

    tutorial: Tutorial
    steps: Mapping[int, tuple[PictureView, ...]]
    overview: tuple[PictureView, ...]
    front: PictureView | None
    templates: TemplateSet = TemplateSet()
    sheets: tuple[SheetView, ...] = ()
    guides: GuidesView | None = None
    shapes: FoldedPictures = FoldedPictures()
    slider: SliderFile | None = None
    cached: CachedResults = CachedResults()


def rendered_tutorial(tutorial: Tutorial, key: str, way: SliderData | None,
                      cached: CachedResults) -> RenderedTutorial:
    """Draw everything now: whatever could fail does so before anything is written.

    ``key`` is unique in the gallery. Raises FindingError where a stage of it failed.
    """
    locale, at = tutorial.locale, Span(tutorial.file)
    with stage("drawing the blanks", at):
        whole = overview(tutorial)
        blanks = tuple(picture_view(picture, locale=locale) for picture in whole)
    with stage("drawing the folded box", at):
        made = folded_pictures(tutorial, whole, key)
    steps: dict[int, tuple[PictureView, ...]] = {}
    for step in tutorial.steps:
        if step.has_picture:
            with stage(f"drawing the pictures of step {step.number}", Span(tutorial.file, step.line)):
                drawn = step_pictures(tutorial.drawn, tutorial.regauged, step.number, locale)
                steps[step.number] = tuple(picture_view(picture, locale=locale) for picture in drawn)
    with stage("drawing its templates", at):
        templates = cached_templates(tutorial, cached)
    with stage("laying its blanks on sheets", at):
        sheets = tuple(sheet_view(plan, f"stock-{k}", locale)
                       for k, plan in enumerate(sheet_plans(tutorial), start=1))
    with stage("finding what its curves are traced with", at):
        guides = guides_view(tutorial, locale)
    return RenderedTutorial(tutorial, steps, blanks, made.front, templates, sheets, guides, made,
                            slider_file(way, made.view), cached)


MIN_CORNER_DEVIATION = 0.1                      # mm; a corner that turns less is none


def filter_values(tutorial: Tutorial, locale: Locale = ENGLISH, sheets: tuple[str, ...] = ()) -> FilterValues:
    """The traits of one tutorial, its tools named in the gallery's locale.

    Of the two editions the larger box counts.

    ``sheets`` are those it comes out of.
    """
    sides = [float(size.value) for system, plan in tutorial.plans.items()
             for size in finished_measures(plan, tutorial.folds.get(system)).values()] or list(
                 _folded_sides(tutorial))
    return FilterValues(tutorial.front.level or "", tutorial.front.minutes, round(max(sides)) if sides
                        else None,
                  tuple(tool.name if locale is tutorial.locale else tool_need(tool.word, locale).name
                        for tool in tutorial.tools),
                  _floor_sides(tutorial), sheets)


def _floor_sides(tutorial: Tutorial) -> int | None:
    """The sides of the largest floor among the folded pieces."""
    done = tutorial.folds.get(tutorial.drawn_in)
    if done is None or not done.pieces:
        return None
    floors = [piece.dimensions.floor for piece in done.pieces if piece.dimensions is not None
              and piece.dimensions.floor is not None]
    largest = max(floors, key=lambda floor: floor.area, default=None)
    corners = largest.simplify(MIN_CORNER_DEVIATION) if largest is not None else None
    return len(corners.exterior.coords) - 1 if isinstance(corners, Polygon) else 0


def _folded_sides(tutorial: Tutorial) -> Iterator[float]:
    """All sides of the folded pieces, where folding knows them: for designs that state no size."""
    for done in tutorial.folds.values():
        for piece in done.pieces:
            if piece.dimensions is not None and piece.dimensions.whole and piece.dimensions.settled:
                yield from piece.dimensions.size
