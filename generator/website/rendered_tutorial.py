"""A tutorial with everything drawn, and by what its card is sifted."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, MutableMapping
from typing import Concatenate, ParamSpec, TypeVar

import numpy as np
import shapely
from shapely import Polygon

from generator.dataclass import dataclass, replace
from generator.drawing.folded.slider_data import SliderData
from generator.findings import Span, stage
from generator.folding import FoldedPlan
from generator.geometry.arrays import FloatArray
from generator.language.front_matter import Credit, FrontMatter
from generator.locale import ENGLISH, Locale
from generator.tutorial import Step, Tutorial
from generator.tutorial.folded_sizes import finished_measures, receiving_piece
from generator.tutorial.template_files import TemplateSet, template_files
from generator.tutorial.tools_and_cautions import tool_need
from generator.tutorial.troubleshooting import TroubleshootingGuide, troubleshoot
from generator.units import stored
from generator.website.downloads import SliderFile, slider_file
from generator.website.filters import FilterValues
from generator.website.guides import GuidesView, guides_view
from generator.website.pictures import (
    FoldedPictures,
    PictureView,
    blank_views,
    folded_pictures,
    step_views,
)
from generator.website.print_files import bundled_files, bundles, cutting_archives, project_sheets
from generator.website.prose import SYSTEMS
from generator.website.share_picture import share_picture_of
from generator.website.sheets import SheetView, sheet_views

Answer = TypeVar("Answer")
More = ParamSpec("More")


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
    troubles: TroubleshootingGuide | None = None
    share: bytes = b""


def rendered_tutorial(tutorial: Tutorial, key: str, way: SliderData | None,
                      cache: MutableMapping[str, bytes] | None, address: str = "") -> RenderedTutorial:
    """Draw everything now: whatever could fail does so before anything is written.

    ``key`` is unique in the gallery, ``address`` that of its page, "" where the site knows none. What the
    words of the tutorial do not change is kept in ``cache``. Raises FindingError where a stage of it failed.
    """
    locale, at, paper = tutorial.locale, Span(tutorial.file), _of_paper(tutorial)
    titled = replace(paper, front=replace(paper.front, title=tutorial.front.title))
    # its table of troubles leads to the steps
    anchored = replace(paper, steps=tuple(replace(step, anchor=named.anchor) for step, named
                                          in zip(paper.steps, tutorial.steps, strict=True)))
    with stage("drawing the blanks", at):
        blanks = _kept(cache, blank_views, paper)()
    with stage("drawing the folded box", at):
        made = _kept(cache, folded_pictures, paper)(key)
    steps = _kept(cache, step_views, paper)()
    with stage("drawing its templates", at):
        templates = _kept(cache, template_files, titled)()
    with stage("laying out its project sheets", at):
        told = _of_sheets(titled, tutorial)
        project = _kept(cache, project_sheets, told)(address)
        bundled = _kept(cache, bundles, told)(address, bundled_files((*project, *templates.files)))
        templates = replace(templates, files=(*bundled, *project, *templates.files,
                                              *cutting_archives(templates.files)))
    with stage("laying its blanks on sheets", at):
        sheets = _kept(cache, sheet_views, paper)()
    with stage("finding what its curves are traced with", at):
        guides = _kept(cache, guides_view, paper)(locale)
    with stage("trying its marks", at):
        troubles = _kept(cache, troubleshoot, anchored)(locale)
    with stage("drawing the picture to share", at):
        share = _kept(cache, share_picture_of, titled)()
    return RenderedTutorial(tutorial, steps, blanks, made.front, templates, sheets, guides, made,
                            slider_file(way, made.view), troubles, share)


def _of_paper(tutorial: Tutorial) -> Tutorial:
    """All of a tutorial that is drawn, without the words that its author may change at any time."""
    front = tutorial.front
    bare = FrontMatter(front.file, "", "", front.drawn_in, {}, {}, frozenset(), {}, front.sheets, None, None,
                       (), (),
                       Credit(), guides=front.guides, parts={}, hand=front.hand)
    return Tutorial(tutorial.slug, tutorial.file, bare, tutorial.plans, {}, tutorial.benches,
                    tutorial.revisions,
                    tutorial.folds, tutorial.locale,
                    steps=tuple(Step(step.number, "", "", 0, (), step.has_picture)
                                for step in tutorial.steps))


def _of_sheets(titled: Tutorial, tutorial: Tutorial) -> Tutorial:
    """The same with the words that project sheets say."""
    front = tutorial.front
    return replace(titled, front=replace(titled.front, summary=front.summary, credit=front.credit,
                                         level=front.level, minutes=front.minutes),
                   supplies=tutorial.supplies, cautions=tutorial.cautions,
                   steps=tuple(Step(step.number, step.title, "", 0, (), step.has_picture, step.heading,
                                    short=step.short) for step in tutorial.steps))


def _kept(cache: MutableMapping[str, bytes] | None, work: Callable[Concatenate[Tutorial, More], Answer],
          given: Tutorial) -> Callable[More, Answer]:
    """``work`` on a tutorial; its folded boxes follow from its plans."""
    def asked(*more: More.args, **named: More.kwargs) -> Answer:
        # the words of a language are the very same for all tutorials, and known once
        bare = replace(given, plans={}, folds={}, locale=replace(given.locale, entries={}))
        return stored(cache, work, bare, given.locale.entries, *given.plans.values(), len(given.folds),
                      *more)(given, *more, **named)
    return asked


NO_TIE = 1e-7           # so that what lies half way is rounded alike on every machine
MIN_CORNER_DEVIATION = 0.1                      # mm; a corner that turns less is none


def filter_values(tutorial: Tutorial, locale: Locale = ENGLISH,
                  sheets: tuple[tuple[str, str], ...] = ()) -> FilterValues:
    """The traits of one tutorial, its tools named in the gallery's locale.

    Of the two editions the larger box counts.

    ``sheets`` are those it comes out of.
    """
    sides = [float(size.value) for system, plan in tutorial.plans.items()
             for size in finished_measures(plan, tutorial.folds.get(system)).values()] or list(
                 _folded_sides(tutorial))
    return FilterValues(tutorial.front.level or "", tutorial.front.minutes, round(max(sides)) if sides
                        else None,
                  tuple((tool.word, tool_need(tool.word, locale).name) for tool in tutorial.tools),
                  _floor_sides(tutorial), sheets,
                  tuple(_room(tutorial.folds.get(system)) for system in SYSTEMS))


def _room(folded: FoldedPlan | None) -> str:
    """The room for things: its height, the corners of its floor, the walls that lean in over it, in mm.

    "94.42|79.42 49.42" over a rectangle, else "48.44|x y x y …|a b c d …" as :class:`PieceDimensions` has
    them but for where the floor lies; "" where it is not known.
    """
    piece = receiving_piece(folded) if folded is not None else None
    known = piece.dimensions if piece is not None else None
    if known is None or known.floor is None or known.inside is None:
        return ""
    floor = known.floor.simplify(MIN_CORNER_DEVIATION / 10)
    corners = shapely.get_coordinates(shapely.orient_polygons(floor))[:-1]
    walls = np.asarray(known.slopes).reshape(-1, 4)
    # whichever corner another machine begins with: the floor lies on one of its sides, turned over or not
    lying = [_laid(each, k, mirror, walls) for each, mirror in ((corners, 1), (corners[::-1], -1))
             for k in range(len(corners))]
    first, *rest = max((_numbers(floor, 2), _numbers(leaning, 4)) for floor, leaning in lying)
    sides = first.split()
    if not len(walls) and len(corners) == 4 and sides[3::2] == ["0", sides[5], sides[5]] and sides[6] == "0":
        first = f"{sides[2]} {sides[5]}"
    return "|".join(filter(None, (_numbers(np.array(known.inside[2]), 2), first, *rest)))


def _laid(corners: FloatArray, first: int, mirror: int, walls: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Corners (n × 2) and walls (m × 4) with this corner at the origin and the next one on the axis of x."""
    xy = np.roll(corners, -first, axis=0)
    u = (xy[1] - xy[0]) / np.hypot(*(xy[1] - xy[0]))
    axes = np.array((u, (-mirror * u[1], mirror * u[0]))).T
    return ((xy - xy[0]) @ axes,
            np.column_stack((walls[:, :2] @ axes, walls[:, 2], walls[:, 3] - walls[:, :2] @ xy[0])))


def _numbers(values: FloatArray, digits: int) -> str:
    return " ".join(f"{round(number + NO_TIE, digits) + 0.0:g}" for number in np.ravel(values))


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
