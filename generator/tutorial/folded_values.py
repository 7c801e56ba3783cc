"""What folding and cutting tell of one edition, for prose that asks: worked out when it is quoted."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from generator.dataclass import dataclass
from generator.findings import FindingError, has_errors
from generator.folding import Dome, FoldedPiece, FoldedPlan, GatheredTop, PieceDimensions
from generator.language.evaluation.deferred_properties import BY_CUTTING
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import read_sheet
from generator.paper.plan_builder import CallContext
from generator.paper.records import Act, Plan
from generator.paper.values import JointHandle, LargestContents, Piece, SolidSize
from generator.paper.work_kinds import Effect
from generator.sheets import SheetError, blank_of, most_of_blank
from generator.tutorial.folded_sizes import (
    fits_inside,
    folded_length,
    folded_volume,
    inside_size,
    largest_contents,
    solid_size,
    too_large_text,
)
from generator.units import Quantity, QuantityError

UNKNOWN_CODE = "fold-unknown"
BLANK_HINT = "quote the .width and .height of its blank"


class KnownPiece(NamedTuple):
    """A folded piece with the measures that folding has of it."""

    piece: FoldedPiece
    figures: PieceDimensions


@dataclass(frozen=True, slots=True)
class FoldedValues:
    """Answers for one edition, from its ``folded`` box; each refuses what is not known."""

    plan: Plan
    folded: FoldedPlan
    front: FrontMatter

    def value(self, context: CallContext, name: str, of: Piece | JointHandle, **arguments: Any) -> object:
        """One value of :mod:`generator.language.evaluation.deferred_properties`."""
        if name in ("way", "needed"):
            return self._ribbon(context, of, name == "needed")
        if isinstance(of, JointHandle):
            return TOP_PROPERTIES[name](self, context, self._top(context, of, name))
        if name == "per_sheet":
            return self._per_sheet(context, of, **arguments)
        if name == "fits":
            return self._fits(context, of, **arguments)
        return PIECE_PROPERTIES[name](self, context, self._piece(context, of))

    # -- pieces -------------------------------------------------------------

    def _piece(self, context: CallContext, of: Piece) -> KnownPiece:
        info = context.info(of)
        if info.is_ribbon:
            context.refuse(UNKNOWN_CODE, f"'{info.name}' is a ribbon, and is not folded",
                           "quote its .way, or its .needed")
        piece = next((each for each in self.folded.pieces if each.piece == of.id), None)
        if piece is None:
            context.refuse(UNKNOWN_CODE, f"'{info.name}' is not folded, so folding tells nothing of it",
                           BLANK_HINT)
        if not piece.judged:
            context.refuse(UNKNOWN_CODE, f"the shape of '{info.name}' is not known: {piece.why_not_judged}",
                           BLANK_HINT)
        if piece.dimensions is None:
            if has_errors(self.folded.findings):      # it does not close, and that is reported
                raise FindingError()
            context.refuse(UNKNOWN_CODE, f"the shape of '{info.name}' is not known", BLANK_HINT)
        return KnownPiece(piece, piece.dimensions)

    def size(self, context: CallContext, known: KnownPiece) -> SolidSize:
        """All three sides of a piece."""
        piece, figures = known
        if not figures.whole:
            context.refuse(UNKNOWN_CODE,
                           f"'{piece.name}' has curved folds, and folding does not know how the "
                           "paper beside them lies", "work it out in a fence, or quote .inside")
        if not figures.settled:
            bend = piece.flat.hinges[piece.undetermined[0]].bend
            context.refuse(UNKNOWN_CODE, f"'{piece.name}' has no one size: nothing says how far the fold of "
                           f"line {bend.span.line} is folded", "say it there with by=…")
        return solid_size(figures.size, self.plan.system)

    def inside(self, context: CallContext, known: KnownPiece) -> SolidSize:
        """The size inside."""
        room = inside_size(known.figures, self.plan.system)
        if room is None:
            context.refuse(UNKNOWN_CODE, f"nothing is known of the inside of '{known.piece.name}': it has no "
                           "floor with walls of one height round it", "work it out in a fence")
        return room

    def holds(self, context: CallContext, known: KnownPiece) -> LargestContents:
        """What goes in."""
        self.inside(context, known)
        assert known.figures.fit is not None     # it comes with the inside
        return largest_contents(known.figures.fit, self.plan.system)

    def volume(self, context: CallContext, known: KnownPiece) -> Quantity:
        """How much room it encloses."""
        if known.figures.volume is None:
            context.refuse(UNKNOWN_CODE, f"'{known.piece.name}' is neither closed all round nor open at one "
                           "even rim, so its volume is not known", "leave it out")
        return folded_volume(known.figures.volume)

    # -- tops and ribbons -----------------------------------------------------

    def _act(self, of: JointHandle | Piece, effect: Effect) -> Act | None:
        acts = self.plan.acts
        if isinstance(of, JointHandle):
            return acts[of.act] if acts[of.act].effect is effect else None
        return next((act for act in acts if act.effect is effect and act.pieces[:1] == (of.id,)), None)

    def _top(self, context: CallContext, of: JointHandle, name: str) -> GatheredTop | Dome:
        act = self._act(of, Effect.GATHER)
        if act is None:
            context.refuse("attribute-unknown", f"only a gathered top has a property '{name}'",
                           "name what gather(…) gives")
        found = next((top for piece in self.folded.pieces for top in piece.gathered_tops
                      if top.act == act.number), None)
        if found is None:
            context.refuse(UNKNOWN_CODE, "how this top closes is not known: its petals are not all alike",
                           "work it out in a fence; folding knows it of even petals alone")
        return found

    def closed_height(self, _context: CallContext, top: GatheredTop | Dome) -> Quantity:
        """How far the peaks meet above the shoulder, or how high its dome stands over it."""
        if top.stands is None:      # it does not close, and that is reported
            raise FindingError()
        return folded_length(top.stands, self.plan.system)

    def highest(self, context: CallContext, top: GatheredTop | Dome) -> Quantity:
        """The greatest height of crown that closes."""
        if not top.tucked:
            context.refuse(
                UNKNOWN_CODE, "with its gussets standing outside this top closes however high its crown is",
                "quote .lowest alone")
        return folded_length(top.crown.circumradius, self.plan.system)

    def lowest(self, _context: CallContext, top: GatheredTop | Dome) -> Quantity:
        """The least height of crown that closes."""
        return folded_length(top.crown.apothem, self.plan.system)

    def _ribbon(self, context: CallContext, of: JointHandle | Piece, with_bow: bool) -> Quantity:
        act = self._act(of, Effect.THREAD)
        if act is None:
            what = (f"'{context.info(of).name}' is threaded through nothing" if isinstance(of, Piece)
                    else "nothing is threaded here")
            context.refuse("attribute-unknown", what,
                           "only a ribbon that thread(…) leads through holes has a way")
        way = ribbon_path_lengths(self.folded).get(act.number)
        if way is None:
            context.refuse(UNKNOWN_CODE, "the way of this ribbon is not known",
                           "it is known through punched holes of one folded piece")
        found = folded_length(way, self.plan.system)
        return found + self.front.bow[self.plan.system] if with_bow else found

    # -- what goes in, and what comes out of a sheet --------------------------

    def _fits(self, context: CallContext, of: Piece, **sides: Quantity | None) -> SolidSize:
        given = {name: side for name, side in sides.items() if side is not None}
        if given:
            size, what, soft = self._sides(context, given), "", False
        elif self.front.holds is not None:
            size, what, soft = self.front.holds.size, self.front.holds.what, self.front.holds.soft
        else:
            context.refuse("call-missing", "nothing says what is to go in",
                           "give width, depth and height, or diameter; or name it under holds:")
        known = self._piece(context, of)
        self.inside(context, known)
        if not fits_inside(known.figures, size, soft):
            context.refuse("content-large",
                           *too_large_text(known.piece.name, known.figures, size, self.plan.system, what,
                                           soft))
        return size

    def _sides(self, context: CallContext, given: Mapping[str, Quantity]) -> SolidSize:
        if given.keys() == {"width", "depth", "height"}:
            return SolidSize(given["width"], given["depth"], given["height"])
        if given.keys() in ({"diameter"}, {"diameter", "height"}):
            return SolidSize(given["diameter"], None, given.get("height"))
        makes = "make" if len(given) > 1 else "alone makes"
        raise context.refusal("call-missing", f"{' and '.join(given)} {makes} no box, no tin and no ball",
                   "give width, depth and height, or diameter and height, or diameter")

    def _per_sheet(self, context: CallContext, of: Piece, sheet: str) -> Quantity:
        info = context.info(of)
        if info.is_ribbon:
            context.refuse("call-kind", f"'{info.name}' is a ribbon, and is not cut from sheets",
                           "name a piece of paper", at="piece")
        try:
            bought = read_sheet(sheet)
            # with its selvedge
            listed = next((each for each in self.front.sheets if each.name == bought.name), bought)
            count = most_of_blank(listed, blank_of(self.plan, info)).sets
        except QuantityError as error:
            context.refuse("call-kind", str(error), error.hint, at="sheet")
        except SheetError as error:
            context.refuse(error.code, str(error), error.hint)
        return Quantity(Fraction(count), 0, frozenset({BY_CUTTING}))


PIECE_PROPERTIES: Mapping[str, Callable[[FoldedValues, CallContext, KnownPiece], object]] = {
    "across": lambda values, context, known: values.size(context, known).across,
    "deep": lambda values, context, known: values.size(context, known).deep,
    "high": lambda values, context, known: values.size(context, known).high,
    "finished": FoldedValues.size, "inside": FoldedValues.inside, "volume": FoldedValues.volume,
    "holds": FoldedValues.holds}
TOP_PROPERTIES: Mapping[str, Callable[[FoldedValues, CallContext, GatheredTop | Dome], object]] = {
    "closed_height": FoldedValues.closed_height, "lowest": FoldedValues.lowest,
    "highest": FoldedValues.highest}


def ribbon_path_lengths(folded: FoldedPlan) -> Mapping[int, float]:
    """How long the way of each threaded ribbon is (mm), by the number of its act."""
    return {act: way for piece in folded.pieces for act, way in piece.ribbon_lengths}
