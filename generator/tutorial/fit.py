"""Which families can hold a thing, and the least lengths at which each does.

Nothing is known of a family here but its source: it is evaluated with other
lengths, folded, and the inside of the folded box is measured. Each length is
searched on the marks of its tool from a box that is large enough downwards,
by halving: with the other lengths as they are, what holds the thing goes on
holding it when it grows, up to what a requirement of the family forbids. What
is found is the least by that search; nobody proves that no other lengths give
a smaller blank.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil

from generator.dataclass import dataclass, field
from generator.findings import Finding, finding, has_errors
from generator.folding import fold
from generator.folding.piece_context import paper_thickness
from generator.language.evaluation.editions import evaluate_edition
from generator.language.front_matter import FrontMatter
from generator.paper.records import Plan
from generator.regauge import DrawnEdition, read_drawn_edition
from generator.regauge.rewriting import fill_dimensions, rewrite_key, typed_length
from generator.regauge.tool_grids import off_grid
from generator.sheets import blanks_of
from generator.tutorial.contents_wish import ContentsWish, Room
from generator.tutorial.families import (
    TITLE,
    Family,
    UnsuitableDimensions,
    dimensions,
    source_with_other_edition,
)
from generator.tutorial.folded_editions import box_findings, check_folded
from generator.tutorial.folded_sizes import fits_inside, inside_size, receiving_piece, size_text
from generator.units import Bench, length, other_system

GROWTH = Fraction(5, 4)     # of all lengths, while the box is too small
MAX_GROWTHS = 8
MAX_PASSES = 4              # over all lengths, until none gets shorter

LengthValues = dict[str, Fraction]


class CannotHold(ValueError):
    """A family that cannot hold the thing; the message says why."""


def needed_room(wish: ContentsWish, slack: Fraction, plan: Plan) -> Room:
    """The thing with its slack, and beside it one thickness more: a tab may be glued behind any wall."""
    layer = max((paper_thickness(each.paper) for each in plan.pieces if not each.is_ribbon), default=0.0)
    return wish.room.enlarged(slack + Fraction(str(layer)), slack)


def fitted_source(family: Family, wish: ContentsWish, slack: Fraction, benches: Mapping[str, Bench],
                  title: str, shown: str) -> str:
    """The source of a family in the least lengths that hold the thing in both editions. Raises CannotHold."""
    system = wish.system
    search = _search_for(family, wish, slack, benches[system])
    values = search.best()
    counts, lengths = dimensions(family, {n: length(v) for n, v in values.items()}, benches[system])
    text = fill_dimensions(family.source.replace(TITLE, title), system, counts, lengths)
    text = rewrite_key(text, "holds", _holds_value(wish))
    other = benches[other_system(system)]
    steps = _search_for(family, wish, slack, other).steps
    pinned = {n: ceil(v / steps[n]) * steps[n] for n, v in values.items()}

    def check(front: FrontMatter, plan: Plan) -> tuple[Finding, ...]:
        return *check_folded(front, plan), *_too_small(plan, wish, slack)
    for kept in (pinned, {}):
        try:
            return source_with_other_edition(text, system, benches, shown, check, kept)
        except UnsuitableDimensions as wrong:
            reason = wrong
    raise CannotHold(f"it would hold it with {_typed(values, system)}, but {_first_line(reason)}")


def _typed(values: LengthValues, system: str) -> str:
    return ", ".join(f"{n} {typed_length(v, system)}" for n, v in values.items())


def _first_line(error: Exception) -> str:
    return str(error).split("\n")[0]


def _holds_value(wish: ContentsWish) -> str:
    """The thing as front matter has it, without its slack."""
    wide, deep, high = wish.room.width, wish.room.depth, wish.room.height
    sides = {"diameter" if deep is None else "width": wide, "depth": deep, "height": high}
    what = (f"{wish.count} " if wish.count > 1 else "") + (wish.what or "what goes in")
    quoted = "'" + what.replace("'", "''") + "'"
    return f"{{what: {quoted}, " + ", ".join(
        f"{name}: {typed_length(mm, wish.system)}" for name, mm in sides.items() if mm is not None) + "}"


def _too_small(plan: Plan, wish: ContentsWish, slack: Fraction) -> Iterator[Finding]:
    piece = receiving_piece(fold(plan))
    if (piece is None or piece.dimensions is None
            or not fits_inside(piece.dimensions, needed_room(wish, slack, plan).solid)):
        yield finding("content-large", plan.pieces[0].span, "the thing with its slack does not go in",
                      "make the box larger")


# -- the search ------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class _Tried:
    """``wrong`` is why the box does not do, "" where it does.

    ``area`` is that of its blanks, in mm²; ``leans`` where its walls lean in.
    """

    wrong: str
    inside: tuple[float, float, float] | None = None
    area: float = 0.0
    leans: bool = False


@dataclass(frozen=True, slots=True)
class _FitSearch:
    """One family in one system; ``steps`` how far apart (mm) the values of each length lie."""

    family: Family
    drawn: DrawnEdition
    bench: Bench
    wish: ContentsWish
    slack: Fraction
    steps: LengthValues
    tried: dict[tuple[Fraction, ...], _Tried] = field(default_factory=dict)

    def holds(self, values: LengthValues) -> bool:
        """Whether the box of these lengths is sound and holds the thing."""
        return not self.judged(values).wrong

    def judged(self, values: LengthValues) -> _Tried:
        """A box of these lengths, worked out once."""
        key = tuple(values.values())
        if key not in self.tried:
            self.tried[key] = self._judge(values)
        return self.tried[key]

    def _judge(self, values: LengthValues) -> _Tried:
        system = self.bench.system
        _, lengths = dimensions(self.family, {n: length(v) for n, v in values.items()}, self.bench)
        done = evaluate_edition(self.drawn.front, self.drawn.steps, system,
                                {n: length(v, n) for n, v in lengths.items()})
        wrong = [f for f in done.findings if has_errors([f])]
        if wrong:
            return _Tried(wrong[0].message)
        off = off_grid(done.plan, self.bench, drawn=False)
        if off:
            return _Tried(off[0].message)
        folded = fold(done.plan)
        piece = receiving_piece(folded)
        if piece is None or piece.dimensions is None or piece.dimensions.inside is None:
            return _Tried("folding finds no floor and walls between which a thing could stand")
        inside = piece.dimensions.inside
        wrong = [f for f in box_findings(self.drawn.front, done.plan, folded) if has_errors([f])]
        if wrong:
            return _Tried(wrong[0].message, inside)
        if fits_inside(piece.dimensions, needed_room(self.wish, self.slack, done.plan).solid):
            area = sum(float(b.width.value * b.height.value) * b.count
                       for blanks in blanks_of(done.plan).values() for b in blanks)
            return _Tried("", inside, area, bool(piece.dimensions.slopes))
        room = inside_size(piece.dimensions, system)
        assert room is not None         # it has an inside
        return _Tried(f"inside it is {size_text(room, system)} only", inside)

    def large_enough(self) -> LengthValues:
        """Lengths that hold the thing, in the family's own proportions. Raises CannotHold."""
        own = {n: Fraction(self.family.lengths[self.bench.system][n].value) for n in self.steps}
        first = self.judged(self._on_marks(own, Fraction(1)))
        if first.inside is None:
            raise CannotHold(first.wrong)
        scale = self._scale(first.inside)
        for _ in range(MAX_GROWTHS):
            values = self._on_marks(own, scale)
            tried = self.judged(values)
            if not tried.wrong:
                return values
            scale *= GROWTH
        raise CannotHold(f"with {_typed(values, self.bench.system)}: {tried.wrong}")

    def _scale(self, inside: tuple[float, float, float]) -> Fraction:
        """By how much the family's own box must at least grow, level and upwards."""
        wide, deep, high = self.wish.room.enlarged(self.slack, self.slack).sides
        level = zip(sorted((wide, deep)), sorted(inside[:2]), strict=True)
        return max(Fraction(float(mine) / own).limit_denominator(1000)
                   for mine, own in (*level, (high, inside[2])))

    def _on_marks(self, own: LengthValues, scale: Fraction) -> LengthValues:
        return {n: ceil(v * scale / self.steps[n]) * self.steps[n] for n, v in own.items()}

    def best(self) -> LengthValues:
        """The least lengths. Under walls that lean in they trade against each other: then of two orders."""
        start, names = self.large_enough(), list(self.steps)
        found = [self._smallest(start, names)]
        if self.judged(start).leans:
            found.append(self._smallest(start, names[::-1]))
        return min(found, key=lambda values: self.judged(values).area)

    def _smallest(self, values: LengthValues, names: Sequence[str]) -> LengthValues:
        """From lengths that hold the thing to those of which none can be shorter by itself."""
        for _ in range(MAX_PASSES):
            before = dict(values)
            for name in names:
                values = self._shortened(values, name)
            if values == before:
                break
        return values

    def _shortened(self, values: LengthValues, name: str) -> LengthValues:
        """The least value of one length that still does, by halving; the others stay."""
        step = self.steps[name]
        high, low = values[name] / step, Fraction(0)
        if not self.holds({**values, name: values[name] - step}) or high <= 1:
            return values
        high -= 1
        while high - low > 1:
            middle = Fraction((high + low) // 2)
            if self.holds({**values, name: middle * step}):
                high = middle
            else:
                low = middle
        return {**values, name: high * step}


def _search_for(family: Family, wish: ContentsWish, slack: Fraction, bench: Bench) -> _FitSearch:
    counts, lengths = dimensions(family, {}, bench)
    drawn, wrong = read_drawn_edition(fill_dimensions(family.source.replace(TITLE, "A box"), bench.system,
                                                      counts,
                                                      lengths), f"{family.name}.md")
    if drawn is None:
        raise CannotHold(wrong[0].message)
    names = [n for n in family.asks if n not in family.counts]
    return _FitSearch(family, drawn, bench, wish, slack, {n: _step(drawn, lengths, n, bench) for n in names})


def _step(drawn: DrawnEdition, lengths: Mapping[str, Fraction], name: str, bench: Bench) -> Fraction:
    """The finest grid of the bench on which all marks that rest on a length stay on their tools."""
    board = bench.grid("board")
    for step in sorted({bench.grid("rule"), bench.grid("trimmer"), board}):
        moved = {**lengths, name: lengths[name] + step}
        done = evaluate_edition(drawn.front, drawn.steps, bench.system,
                                {n: length(v, n) for n, v in moved.items()})
        if not done.failed_statements and not off_grid(done.plan, bench, drawn=False):
            return step
    return 2 * board        # marks stand at halves of it too
