"""What the theme is handed of a picture: the drawing, its numbered rows, and what its lines mean.

The pictures of folded paper as the theme is handed them, and the one that stands for a tutorial elsewhere.
"""
from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape

from markupsafe import Markup

from generator.dataclass import dataclass, field, replace
from generator.drawing.backends.legend import legend
from generator.drawing.backends.svg import svg, worn
from generator.drawing.folded.fold_pictures import fold_pictures
from generator.drawing.pen import Contour, Sign, Surface
from generator.drawing.recording import Recording
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.steps.step_picture import StepPicture, overview_picture, step_pictures
from generator.drawing.style import HATCHES, PALETTE
from generator.findings import Span, stage
from generator.locale import ENGLISH, Locale
from generator.tutorial import MeasureWording, Tutorial
from generator.website.light_svg import DEFS_ID, light_svg
from generator.website.prose import SYSTEMS, accessible_html, measure_html

SAMPLE_SVG = '<svg class="drawing whole sample" viewBox="0 0 14 4" aria-hidden="true">{}</svg>'

PAPER_LAYERS = ("paper", "before", "now", "faces", "lines")     # groups of a drawing without its words
CARD_BORDER = 1.0                            # mm round the paper in the gallery
_SIZE_ATTRIBUTE = re.compile(r' (?:width|height|viewBox)="[^"]*"')

# arrows as in the drawings: a full head folds towards the reader, a hollow one away
ARROW_SVG = ('<path class="sign" d="M1.5 3.4Q6 -0.6 10.6 1.6"/><path class="{}" d="M13 3.2L9.7 2.6L11.2 '
             '0.6Z"/>')
FACE_PATH = "M0.2 0.2H13.8V3.8H0.2Z"
FACE_HATCH = "".join(f"M{x} 3.8L{x + 3.6:g} 0.2" for x in (0.5, 2, 3.5, 5, 6.5, 8, 9.5))
ARROWHEADS = {Sign.FOLD_UP: "sign-head", Sign.FOLD_BACK: "sign-hollow", Sign.GOES: "sign-head"}


@dataclass(frozen=True, slots=True)
class PictureRow:
    """What a number in the picture says below it; without a number it speaks of the whole picture."""

    number: int | None
    html: Markup


@dataclass(frozen=True, slots=True)
class LegendItem:
    """A sample of a line, an area or a sign, and its meaning."""

    sample: Markup
    words: str


@dataclass(frozen=True, slots=True)
class PictureView:
    """A drawing as SVG, its measures in words, its rows, and what its lines mean.

    ``system`` is the edition that alone it shows, or "".
    """

    svg: Markup
    told: Markup
    rows: tuple[PictureRow, ...]
    legend: tuple[LegendItem, ...]
    system: str = ""


def picture_view(picture: StepPicture, locale: Locale = ENGLISH) -> PictureView:
    """A picture for a page."""
    drawn = light_svg(svg(picture.recording, picture.title, picture.description, picture.key,
                          kind=picture.kind), _heard(picture))
    return PictureView(drawn, _told_html(picture),
                       tuple(PictureRow(row.number, row_html(row)) for row in picture.rows),
                       legend_items(picture.recording, locale), picture.system)


def _heard(picture: StepPicture) -> str:
    """What a picture is heard as: a description says all that the title says, but for a sheet's pieces."""
    return f"{picture.title}. {picture.description}" if picture.kind == "cutting" else picture.description


def legend_items(recording: Recording, locale: Locale) -> tuple[LegendItem, ...]:
    """Each meaning with its sample; a side of the paper in the first colour that it has in the picture."""
    faces = ((item.arguments[1].side, item.arguments[1].colour) for item in recording.of("face"))
    areas = ((item.arguments[1], item.arguments[2]) for item in recording.of("area") if item.arguments[2:])
    colours = {str(side): colour for side, colour in reversed([*faces, *areas])}
    return tuple(LegendItem(_worn_sample(name, colours), words) for name, words in legend(recording, locale))


def _worn_sample(name: str, colours: Mapping[str, str]) -> Markup:
    sample, side = _legend_sample(name), name.partition("-")[0]
    classes = worn(name, side, colours.get(side, ""))
    return Markup(str(sample).replace(f'class="{name}"', f'class="{classes}"'))


def card_view(picture: StepPicture, card: str = "") -> PictureView:
    """The paper and its lines alone, without the room for measures; ``card`` names it in a gallery."""
    whole = picture.recording
    paper = replace(whole, items=tuple(item for item in whole.items if item.process in PAPER_LAYERS))
    box = paper.bounds().grown(CARD_BORDER)
    frame = (f'width="{box.width:.5g}mm" height="{box.height:.5g}mm" '
             f'viewBox="{box.x0:.5g} {whole.height - box.y1:.5g} {box.width:.5g} {box.height:.5g}" '
             'preserveAspectRatio="xMinYMid"')
    drawn = light_svg(svg(paper, picture.title, picture.description, f"{card}-{picture.key}",
                          kind=picture.kind),
                      picture.title if card else _heard(picture), alone=bool(card))
    head, rest = drawn.split(">", 1)
    return PictureView(Markup(f"{_SIZE_ATTRIBUTE.sub('', head)} {frame}>{rest}"), Markup(), (), ())


def _told_html(picture: StepPicture) -> Markup:
    """The measures that the reader chose, for those who hear the picture."""
    if picture.kind == "cutting":       # its rows say the same
        return Markup()
    if len(picture.told) < len(SYSTEMS):
        alone = " ".join(picture.told.values())
        return Markup('<p class="spoken">{}</p>').format(alone) if alone else Markup()
    return Markup("").join(Markup('<p class="{} spoken">{}</p>').format(system, picture.told[system])
                           for system in SYSTEMS)


def row_html(row: ListRow) -> Markup:
    """The words of a row with its measure in both systems, once where both say the same."""
    text = []
    if row.mm:
        wordings = (MeasureWording(row.inch, row.inch_speech, row.inch_html),
                    MeasureWording(row.mm, row.mm_speech, row.mm_html))
        text = [accessible_html(wordings[1]) if row.mm == row.inch else measure_html(wordings)]
    return Markup(" ").join(filter(None, (Markup(escape(row.before, quote=False)), *text,
                                          Markup(escape(row.after, quote=False)))))


def _legend_sample(name: str) -> Markup:
    """A short line, a small area, a hole or an arrow, in the classes that the drawing itself uses."""
    if name in set(Sign):
        inside = ARROW_SVG.format(ARROWHEADS[Sign(name)])
    elif name in set(Surface):
        area = "M0 0H14V4H0Z"
        inside = f'<path class="{name}" d="{area}"/>'
        if Surface(name) in HATCHES:
            inside += f'<path class="{name}-hatched" fill="url(#{DEFS_ID}{name})" d="{area}"/>'
    elif name in PALETTE:       # a face of folded paper
        inside = f'<path class="{name}" d="{FACE_PATH}"/>' + (
            f'<path class="hatch-inside" d="{FACE_HATCH}"/>' if name.startswith("plain") else "")
        inside += f'<path class="crease" d="{FACE_PATH}"/>'
    elif name in set(Contour):
        inside = f'<path class="{name}" d="M1 2H13"/>'
    elif name == "hole":
        inside = '<path class="line hole" d="M5.5 2a1.5 1.5 0 1 0 3 0a1.5 1.5 0 1 0 -3 0Z"/>'
    else:
        inside = f'<path class="line {name} now" d="M.5 2h13"/>'
    return Markup(SAMPLE_SVG.format(inside))


@dataclass(frozen=True, slots=True)
class FoldedPictures:
    """``finished`` for the head of the page and ``steps`` by number; ``front`` for the gallery.

    ``scale`` is by how much larger than the paper itself that of the gallery is drawn.
    """

    finished: PictureView | None = None
    steps: Mapping[int, PictureView] = field(default_factory=dict)
    front: PictureView | None = None
    view: tuple[float, float] = (0.0, 0.0)      # yaw and pitch from which all of them are seen, in degrees
    scale: float = 1.0


def overview(tutorial: Tutorial) -> tuple[StepPicture, ...]:
    """A picture of each finished blank with all of its marks."""
    return tuple(overview_picture(tutorial.drawn, tutorial.regauged, info.id, tutorial.locale)
                 for info in tutorial.drawn.pieces if not info.is_ribbon)


def blank_views(tutorial: Tutorial) -> tuple[PictureView, ...]:
    """The pictures of the finished blanks, for the page."""
    return tuple(picture_view(picture, tutorial.locale) for picture in overview(tutorial))


def step_views(tutorial: Tutorial) -> Mapping[int, tuple[PictureView, ...]]:
    """By the numbers of the steps that have pictures, these.

    Raises FindingError where one cannot be drawn.
    """
    found, locale = {}, tutorial.locale
    for step in tutorial.steps:
        if step.has_picture:
            at = next((act.span for act in tutorial.drawn.acts_of(step.number)), Span(tutorial.file))
            with stage(f"drawing the pictures of step {step.number}", at):
                drawn = step_pictures(tutorial.drawn, tutorial.regauged, step.number, locale)
                found[step.number] = tuple(picture_view(picture, locale) for picture in drawn)
    return found


def standing_picture(tutorial: Tutorial) -> StepPicture | None:
    """What stands for a tutorial elsewhere: the finished piece.

    Its first blank where nothing tells how far that is folded.
    """
    finished = fold_pictures(tutorial.drawn, tutorial.drawn_fold, tutorial.locale).finished
    return finished or next(iter(overview(tutorial)), None)


def folded_pictures(tutorial: Tutorial, key: str) -> FoldedPictures:
    """Draw them all; ``key`` is unique in the gallery."""
    stands = standing_picture(tutorial)
    if stands is None:
        return FoldedPictures()
    drawn, locale = fold_pictures(tutorial.drawn, tutorial.drawn_fold, tutorial.locale), tutorial.locale
    finished = None
    if drawn.finished is not None:
        finished = replace(card_view(drawn.finished),
                           legend=legend_items(drawn.finished.recording, locale))
    after = dict(drawn.steps)
    if drawn.assembled is not None:
        last = tutorial.steps[-1].number
        after[last] = drawn.assembled if tutorial.drawn.ties else after.get(last, drawn.assembled)
    steps = {number: picture_view(picture, locale) for number, picture in after.items()}
    scale = drawn.scale if drawn.finished is not None else _flat_scale(tutorial, stands)
    return FoldedPictures(finished, steps, card_view(stands, key), drawn.view, scale)


def _flat_scale(tutorial: Tutorial, picture: StepPicture) -> float:
    """By how much larger than the paper its first blank is drawn."""
    info = next(info for info in tutorial.drawn.pieces if not info.is_ribbon)
    state = tutorial.drawn.states[info.id][-1][1]
    box = replace(picture.recording, items=tuple(item for item in picture.recording.items
                                                 if item.process in PAPER_LAYERS)).bounds()
    return max(box.width, box.height) / float(max(state.width.value, state.height.value))
