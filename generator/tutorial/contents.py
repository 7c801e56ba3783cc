"""What is to go into the box goes in: the thing that the front matter names, tried in the folded box of an edition."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding import FoldedPiece, FoldedPlan, box_goes_in, round_goes_in
from generator.language.source.front_matter_values import Contents
from generator.paper.values import SolidSize
from generator.tutorial.figures import inside
from generator.units import bulk_text


def receiver(done: FoldedPlan, name: str = "") -> FoldedPiece | None:
    """The piece that things are put into: the one of this name, else the roomiest that is no lid."""
    able = [p for p in done.pieces if p.figures is not None and p.figures.fit is not None]
    if name:
        return next((p for p in able if p.name == name), None)
    boxes = [p for p in able if "lid" not in p.name] or able
    return max(boxes, key=lambda p: p.figures.volume or 0.0, default=None)


def goes(piece: FoldedPiece, size: SolidSize) -> bool | None:
    """Whether a thing goes in upright, whichever way round; None where what fits is not known."""
    across, deep, high = (float(side.value) if side is not None else None for side in (size.across, size.deep, size.high))
    if piece.figures is None:
        return None
    return round_goes_in(piece.figures, across, high) if deep is None else box_goes_in(piece.figures, across, deep, high)


def too_large(piece: FoldedPiece, size: SolidSize, system: str, what: str = "") -> tuple[str, str]:
    """Message and hint for a thing that does not go in, called ``what``."""
    room = inside(piece.figures, system)
    thing = f"{what}, {size_text(size, system)}," if what else f"a thing {size_text(size, system)}"
    return (f"{thing} does not go into '{piece.name}': inside it is {size_text(room, system)}",
            "make the box larger, or look at the size of what is to go in")


def size_text(size: SolidSize, system: str) -> str:
    """A size in the words of an edition."""
    return bulk_text((size.across, size.deep, size.high), system)


def content_findings(content: Contents | None, done: FoldedPlan, system: str) -> Iterator[Finding]:
    """Where what the author means to put in does not go in, or where nobody can tell."""
    if content is None:
        return
    piece = receiver(done, content.piece)
    if piece is None:
        where = f"'{content.piece}'" if content.piece else "this box"
        yield finding("fold-unknown", content.span, f"nothing is known of the inside of {where}, so nobody can tell whether "
                      f"{content.what} goes in", "name a piece that is folded up round a floor, with piece:, or leave holds: out")
    elif not goes(piece, content.size):
        yield finding("content-large", content.span, *too_large(piece, content.size, system, content.what))
