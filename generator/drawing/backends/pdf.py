"""The PDF back end: pages at true size, in layers. Same input, same bytes."""
from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from io import BytesIO

from generator.drawing.backends import helvetica
from generator.drawing.backends.pdf_content import ContentPen, figures
from generator.drawing.process_table import PROCESS_BY_KEY, PROCESS_LAYERS
from generator.drawing.recording import Recording
from generator.drawing.templates.page import Page, PlacedDrawing
from generator.units import MM_PER_INCH, memoised

POINT = Fraction(72) / MM_PER_INCH      # points in a mm
FINE = Decimal("0.000001")              # to which page boxes are rounded, in points
SCALE = f"{float(POINT):.10f}"


def points(mm: float) -> Decimal:
    """A length on the page in points, to 0.000001."""
    exact = Fraction(mm).limit_denominator(10_000_000) * POINT
    return (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(FINE)


def pdf(title: str, pages: Sequence[Page], language: str = "en") -> bytes:
    """A whole document. Raises ValueError where a coordinate is not a number."""
    import pikepdf

    return _Maker(pikepdf).made(title, pages, language)


def lacking(pages: Sequence[Page]) -> tuple[str, ...]:
    """The letters of all pages that the font does not have."""
    found: dict[str, None] = {}
    for page in pages:
        for recording in (page.drawing, *((page.placed.recording,) if page.placed else ())):
            for item in recording.of("label"):
                found |= dict.fromkeys(letter for line in item.given[0].words.mm.split("\n")
                                       for letter in helvetica.shown(line).lacking)
    return tuple(found)


class _Maker:
    """One document in the making; a plan that lies on several pages is written once."""

    def __init__(self, pikepdf) -> None:
        self._lib = pikepdf
        self._pdf = pikepdf.new()
        self._forms: dict[int, object] = {}
        self._groups: dict[str, object] = {}
        self._fonts = self._dictionary(H=self._font("Helvetica"), B=self._font("Helvetica-Bold"))

    def made(self, title: str, pages: Sequence[Page], language: str) -> bytes:
        """The bytes of the document."""
        for page in pages:
            self._page(page)
        self._catalog(title, language)
        out = BytesIO()
        self._pdf.save(out, deterministic_id=True, compress_streams=True, min_version="1.7",
                       object_stream_mode=self._lib.ObjectStreamMode.disable)
        return out.getvalue()

    def _dictionary(self, **entries: object) -> object:
        return self._lib.Dictionary({f"/{key}": value for key, value in entries.items()})

    def _font(self, name: str) -> object:
        return self._pdf.make_indirect(self._dictionary(
            Type=self._lib.Name.Font, Subtype=self._lib.Name.Type1, BaseFont=self._lib.Name(f"/{name}"),
            Encoding=self._lib.Name.WinAnsiEncoding))

    def _page(self, page: Page) -> None:
        box = self._lib.Array([0, 0, points(page.width), points(page.height)])
        parts, forms = [f"q {SCALE} 0 0 {SCALE} 0 0 cm".encode()], {}
        if page.placed:
            forms["P"] = self._form(page.placed.recording)
            parts += [line.encode() for line in _placing(page.placed)]
        pen = ContentPen()
        page.drawing.replay(pen)
        content = b"\n".join([*parts, pen.data(), b"Q"])
        resources = self._resources(pen)
        if forms:
            resources.XObject = self._dictionary(**forms)
        self._pdf.pages.append(self._lib.Page(self._pdf.make_indirect(self._dictionary(
            Type=self._lib.Name.Page, MediaBox=box, CropBox=box, TrimBox=box, Resources=resources,
            Contents=self._pdf.make_stream(content)))))

    def _form(self, recording: Recording) -> object:
        if id(recording) not in self._forms:
            pen = _written(recording)
            self._forms[id(recording)] = self._pdf.make_stream(
                pen.data(), Type=self._lib.Name.XObject, Subtype=self._lib.Name.Form, Resources=self._resources(pen),
                BBox=self._lib.Array([0, 0, _up(recording.width), _up(recording.height)]))
        return self._forms[id(recording)]

    def _resources(self, pen: ContentPen) -> object:
        resources = self._dictionary(Font=self._fonts)
        if pen.processes:
            resources.Properties = self._dictionary(**{p: self._group(p) for p in sorted(pen.processes)})
        return resources

    def _group(self, process: str) -> object:
        if process not in self._groups:
            layer = PROCESS_BY_KEY[process]
            steps = self._dictionary(GTS_ProcStepsGroup=self._lib.Name(f"/{layer.group}"))
            if layer.kind:
                steps.GTS_ProcStepsType = self._lib.Name(f"/{layer.kind}")
            self._groups[process] = self._pdf.make_indirect(self._dictionary(
                Type=self._lib.Name.OCG, Name=self._lib.String(layer.name), GTS_Metadata=steps))
        return self._groups[process]

    def _catalog(self, title: str, language: str) -> None:
        root = self._pdf.Root
        root.Lang = self._lib.String(language)
        root.ViewerPreferences = self._dictionary(PrintScaling=self._lib.Name("/None"), DisplayDocTitle=True,
                                                  PickTrayByPDFSize=True)
        self._pdf.docinfo["/Title"] = self._lib.String(title)
        groups = self._lib.Array([self._groups[layer.key] for layer in PROCESS_LAYERS if layer.key in self._groups])
        if len(groups):
            root.OCProperties = self._dictionary(OCGs=groups, D=self._dictionary(
                Name=self._lib.String("Layers"), BaseState=self._lib.Name.ON, Order=groups, ON=groups))


@memoised(16)
def _written(recording: Recording) -> ContentPen:
    """A plan as a content stream, the same on every paper."""
    pen = ContentPen()
    recording.replay(pen)
    return pen


def _up(mm: float) -> Decimal:
    """Rounded to 0.001 mm: a box that cuts nothing off."""
    return Decimal(f"{mm + 0.0005:.3f}")


def _placing(placed: PlacedDrawing) -> tuple[str, ...]:
    clip = placed.clip
    return ("q", f"{figures(clip.x0, clip.y0, clip.width, clip.height)} re W n",
            f"1 0 0 1 {figures(placed.dx, placed.dy)} cm /P Do", "Q")
