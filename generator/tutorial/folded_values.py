"""What folding and cutting tell of one edition, for prose that asks: each value is found when it is quoted."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from generator.findings import FindingError, has_errors
from generator.folding import Dome, FoldedPiece, FoldedPlan, GatheredTop
from generator.language.evaluation.deferred_properties import BY_CUTTING
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import read_sheet
from generator.paper.plan_builder import PlanBuilder
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


class UnknownValues:
    """Answers for an edition that was not folded, since something is wrong with it that is reported already."""

    def tell(self, job: PlanBuilder, name: str, of: Piece | JointHandle, **more: object) -> object:
        """Raises Trouble without findings."""
        raise FindingError()


class FoldedValues:
    """Answers for a folded edition."""

    def __init__(self, plan: Plan, done: FoldedPlan, front: FrontMatter) -> None:
        self.plan, self.done, self.front = plan, done, front
        self._pieces: Mapping[int, FoldedPiece] = {piece.piece: piece for piece in done.pieces}

    def tell(self, job: PlanBuilder, name: str, of: Piece | JointHandle, **more: object) -> object:
        """One value of :mod:`generator.language.evaluation.deferred_properties`."""
        if name == "per_sheet":
            return self._per_sheet(job, of, **more)
        if name == "fits":
            return self._fits(job, of, **more)
        if name in ("way", "needed"):
            return self._ribbon(job, of, name == "needed")
        if isinstance(of, JointHandle):
            return TOP_PROPERTIES[name](self, job, self._top(job, of, name))
        return PIECE_PROPERTIES[name](self, job, self._piece(job, of))

    # -- pieces -------------------------------------------------------------

    def _piece(self, job: PlanBuilder, of: Piece) -> FoldedPiece:
        """The folded piece; refused where its shape is not known."""
        info = job.info(of)
        if info.is_ribbon:
            job.refuse(UNKNOWN_CODE, f"'{info.name}' is a ribbon, and is not folded",
                       "quote its .way, or its .needed")
        piece = self._pieces.get(of.id)
        if piece is None:
            job.refuse(UNKNOWN_CODE, f"'{info.name}' is not folded, so folding tells nothing of it",
                       BLANK_HINT)
        if not piece.judged:
            job.refuse(UNKNOWN_CODE, f"the shape of '{info.name}' is not known: {piece.why_not_judged}",
                       BLANK_HINT)
        if piece.figures is None:
            if has_errors(self.done.findings):      # it does not close, and that is reported
                raise FindingError()
            job.refuse(UNKNOWN_CODE, f"the shape of '{info.name}' is not known", BLANK_HINT)
        return piece

    def size(self, job: PlanBuilder, piece: FoldedPiece) -> SolidSize:
        """All three sides of a piece."""
        if not piece.figures.whole:
            job.refuse(
                UNKNOWN_CODE, f"'{piece.name}' has curved folds, and folding does not know how the paper "
                              "beside them lies",
                       "work it out in a fence, or quote .inside")
        if not piece.figures.settled:
            line = piece.flat.hinges[piece.loose[0]].bend.span.line
            job.refuse(
                UNKNOWN_CODE, f"'{piece.name}' has no one size: nothing says how far the fold of line {line} "
                              "is folded",
                       "say it there with by=…")
        return solid_size(piece.figures.size, self.plan.system)

    def inside(self, job: PlanBuilder, piece: FoldedPiece) -> SolidSize:
        """The size inside."""
        room = inside_size(piece.figures, self.plan.system)
        if room is None:
            job.refuse(
                UNKNOWN_CODE, f"nothing is known of the inside of '{piece.name}': it has no floor with walls "
                              "of one height round it",
                       "work it out in a fence")
        return room

    def holds(self, job: PlanBuilder, piece: FoldedPiece) -> LargestContents:
        """What goes in."""
        self.inside(job, piece)
        return largest_contents(piece.figures.fit, self.plan.system)

    def volume(self, job: PlanBuilder, piece: FoldedPiece) -> Quantity:
        """How much room it encloses."""
        if piece.figures.volume is None:
            job.refuse(
                UNKNOWN_CODE, f"'{piece.name}' is neither closed all round nor open at one even rim, so its "
                              "volume is not known",
                       "leave it out")
        return folded_volume(piece.figures.volume)

    # -- tops and ribbons -----------------------------------------------------

    def _act(self, job: PlanBuilder, of: JointHandle | Piece, effect: Effect) -> Act | None:
        acts = self.plan.acts
        if isinstance(of, JointHandle):
            return acts[of.act] if acts[of.act].effect is effect else None
        return next((act for act in acts if act.effect is effect and act.pieces[:1] == (of.id,)), None)

    def _top(self, job: PlanBuilder, of: JointHandle, name: str) -> GatheredTop:
        act = self._act(job, of, Effect.GATHER)
        if act is None:
            job.refuse("attribute-unknown", f"only a gathered top has a property '{name}'",
                       "name what gather(…) gives")
        found = next((top for piece in self.done.pieces for top in (*piece.tops, piece.dome)
                      if top is not None and top.act == act.number), None)
        if found is None:
            job.refuse(UNKNOWN_CODE, "how this top closes is not known: its petals are not all alike",
                       "work it out in a fence; folding knows it of even petals alone")
        return found

    def closed_height(self, job: PlanBuilder, top: GatheredTop | Dome) -> Quantity:
        """How far the peaks meet above the shoulder, or how high its dome stands over it."""
        if isinstance(top, Dome) and top.held:
            return folded_length(top.height, self.plan.system)
        if isinstance(top, Dome) or top.crown.rise is None:      # it does not close, and that is reported
            raise FindingError()
        return folded_length(top.crown.rise, self.plan.system)

    def highest(self, job: PlanBuilder, top: GatheredTop) -> Quantity:
        """The greatest height of crown that closes."""
        if not top.tucked:
            job.refuse(
                UNKNOWN_CODE, "with its gussets standing outside this top closes however high its crown is",
                "quote .lowest alone")
        return folded_length(top.crown.circumradius, self.plan.system)

    def lowest(self, job: PlanBuilder, top: GatheredTop) -> Quantity:
        """The least height of crown that closes."""
        return folded_length(top.crown.apothem, self.plan.system)

    def _ribbon(self, job: PlanBuilder, of: JointHandle | Piece, with_bow: bool) -> Quantity:
        act = self._act(job, of, Effect.THREAD)
        if act is None:
            what = f"'{job.info(of).name}' is threaded through nothing" if isinstance(
                of, Piece) else "nothing is threaded here"
            job.refuse("attribute-unknown", what,
                       "only a ribbon that thread(…) leads through holes has a way")
        way = ribbon_path_lengths(self.done).get(act.number)
        if way is None:
            job.refuse(UNKNOWN_CODE, "the way of this ribbon is not known",
                       "it is known through punched holes of one folded piece")
        found = folded_length(way, self.plan.system)
        return found + self.front.bow[self.plan.system] if with_bow else found

    # -- what goes in, and what comes out of a sheet --------------------------

    def _fits(self, job: PlanBuilder, of: Piece, **sides: Quantity | None) -> SolidSize:
        given = {name: side for name, side in sides.items() if side is not None}
        content = self.front.holds
        if not given and content is None:
            job.refuse("call-missing", "nothing says what is to go in",
                       "give width, depth and height, or diameter; or name it under holds:")
        size, what = (content.size, content.what) if not given else (self._sides(job, given), "")
        piece = self._piece(job, of)
        self.inside(job, piece)
        if not fits_inside(piece, size):
            job.refuse("content-large", *too_large_text(piece, size, self.plan.system, what))
        return size

    def _sides(self, job: PlanBuilder, given: Mapping[str, Quantity]) -> SolidSize:
        if given.keys() == {"width", "depth", "height"}:
            return SolidSize(given["width"], given["depth"], given["height"])
        if given.keys() in ({"diameter"}, {"diameter", "height"}):
            return SolidSize(given["diameter"], None, given.get("height"))
        makes = "make" if len(given) > 1 else "alone makes"
        job.refuse("call-missing", f"{' and '.join(given)} {makes} no box, no tin and no ball",
                   "give width, depth and height, or diameter and height, or diameter")

    def _per_sheet(self, job: PlanBuilder, of: Piece, sheet: str) -> Quantity:
        info = job.info(of)
        if info.is_ribbon:
            job.refuse("call-kind", f"'{info.name}' is a ribbon, and is not cut from sheets",
                       "name a piece of paper", at="piece")
        try:
            bought = read_sheet(sheet)
            # with its selvedge
            listed = next((each for each in self.front.sheets if each.name == bought.name), bought)
            count = most_of_blank(listed, blank_of(self.plan, info)).sets
        except QuantityError as error:
            job.refuse("call-kind", str(error), error.hint, at="sheet")
        except SheetError as error:
            job.refuse(error.code, str(error), error.hint)
        return Quantity(Fraction(count), 0, frozenset({BY_CUTTING}))


PIECE_PROPERTIES: Mapping[str, Callable[[FoldedValues, PlanBuilder, FoldedPiece], object]] = {
    "across": lambda told, job, piece: told.size(job, piece).across, "deep": lambda told, job,
    piece: told.size(job, piece).deep,
    "high": lambda told, job, piece: told.size(job, piece).high, "finished": FoldedValues.size,
    "inside": FoldedValues.inside,
    "volume": FoldedValues.volume, "holds": FoldedValues.holds}
TOP_PROPERTIES: Mapping[str, Callable[[FoldedValues, PlanBuilder, GatheredTop], object]] = {
    "closed_height": FoldedValues.closed_height, "lowest": FoldedValues.lowest,
    "highest": FoldedValues.highest}


def ribbon_path_lengths(done: FoldedPlan) -> Mapping[int, float]:
    """How long the way of each threaded ribbon is (mm), by the number of its act."""
    return {act: way for piece in done.pieces for act, way in piece.ways}
