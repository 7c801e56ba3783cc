"""Plans built by hand: records as the verbs make them, for pictures to be drawn from."""
from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from generator.findings import Span
from generator.geometry import Arc, Circle, Line, Point, Stroke
from generator.paper.records import (
    Act,
    Face,
    Fold,
    FoldDirection,
    Glue,
    Mark,
    Orientation,
    OutlineStroke,
    PieceInfo,
    PieceState,
    Plan,
    Side,
    Thread,
)
from generator.units import Quantity, length

INCH = Fraction(127, 5)
SPAN = Span("box.md")


def mm(value) -> Quantity:
    """A length in mm."""
    return length(Fraction(value))


def inch(value) -> Quantity:
    """A length in inches."""
    return length(Fraction(value) * INCH)


def loop(*corners) -> tuple[Line, ...]:
    """A closed polygon from (x, y) pairs."""
    points = [Point(Fraction(x), Fraction(y)) for x, y in corners]
    return tuple(Line(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True))


def line(x0, y0, x1, y1) -> Line:
    """A straight stroke."""
    return Line(Point(Fraction(x0), Fraction(y0)), Point(Fraction(x1), Fraction(y1)))


@dataclass
class Work:
    """Notes acts on pieces one after the other, as a job does, and gives the plan."""

    system: str = "mm"
    step: int = 0
    pieces: list = field(default_factory=list)
    acts: list = field(default_factory=list)
    states: dict = field(default_factory=dict)
    made: int = 0

    def next_step(self) -> None:
        self.step += 1

    @property
    def act(self) -> int:
        return len(self.acts)

    def state(self, piece=0) -> PieceState:
        return self.states[piece][-1][1]

    def put(self, state: PieceState, verb: str, name=None, **more) -> None:
        self.states.setdefault(state.piece, []).append((self.act, state))
        self.acts.append(Act(self.act, verb, self.step, SPAN, name, (state.piece,), **more))

    def note(self, verb: str, pieces=(0,), **more) -> None:
        """An act that leaves the paper as it is."""
        self.acts.append(Act(self.act, verb, self.step, SPAN, None, tuple(pieces), **more))

    def rims(self, strokes) -> tuple[OutlineStroke, ...]:
        return tuple(OutlineStroke(s, self.act, self.step, SPAN) for s in strokes)

    def sheet(self, name: str, width: Quantity, height: Quantity, up="plain", kind="sheet") -> int:
        piece = len(self.pieces)
        self.pieces.append(PieceInfo(piece, name, None, up, kind, SPAN, self.act, self.step))
        w, h = width.value, height.value
        self.put(PieceState(piece, self.rims(loop((0, 0), (w, 0), (w, h), (0, h))), width, height), "sheet",
                 name)
        return piece

    def marks(self, verb: str, name: str, strokes, places=None, axis=None, side=None, piece=0, positions=None,
              sizes=()) -> list[Mark]:
        made = []
        for index, each in enumerate(strokes):
            place = places[index] if places else None
            told = positions[index] if positions else ((place, side),)
            each = each if isinstance(each, tuple) else (each,)
            made.append(Mark(self.made, verb, name, index + 1, len(strokes), piece, axis, place, place, side,
                             "board",
                             each, each, self.step, self.act, SPAN, told, sizes))
            self.made += 1
        state = self.state(piece)
        self.put(replace(state, marks=(*state.marks, *made)), verb, name, marks=tuple(m.id for m in made))
        return made

    def upright(self, verb, name, places, low, high, piece=0, side=Side.LEFT) -> list[Mark]:
        """Lines at these x between the y's ``low`` and ``high``; ``places`` are counted from ``side``."""
        wide = self.state(piece).width
        at = [p if side is Side.LEFT else wide - p for p in places]
        return self.marks(verb, name, [line(p.value, low, p.value, high) for p in at], places, "x", side,
                          piece)

    def level(self, verb, name, place, piece=0, side=Side.BOTTOM) -> list[Mark]:
        state = self.state(piece)
        y = place.value if side is Side.BOTTOM else state.height.value - place.value
        return self.marks(verb, name, [line(0, y, state.width.value, y)], [place], "y", side, piece)

    def change(self, verb, piece=0, **fields) -> None:
        self.put(replace(self.state(piece), **fields), verb)

    def set_orientation(self, verb: str, orientation: Orientation, piece=0) -> None:
        self.change(verb, piece, orientation=orientation)

    def fold(self, folds, piece=0) -> None:
        """``folds``: (mark, direction, runs)."""
        made = tuple(Fold(m.id, d, tuple(r), None, self.step, self.act, SPAN) for m, d, r in folds)
        state = self.state(piece)
        self.put(replace(state, folds=(*state.folds, *made)), "fold", marks=tuple(f.mark for f in made),
                 detail=made)

    def face(self, name, strokes, index=1, count=1, piece=0) -> Face:
        return Face(index, name, index, count, piece, tuple(strokes), self.step, self.act, SPAN)

    def plan(self) -> Plan:
        return Plan(self.system, tuple(self.pieces), tuple(self.acts),
                    {piece: tuple(states) for piece, states in self.states.items()})


@dataclass(frozen=True)
class Sizes:
    """The named lengths of the caddy, in one edition."""

    panel: Quantity
    foot: Quantity
    wall: Quantity
    crown: Quantity
    tab: Quantity
    bulge: Quantity
    hole: Quantity
    drop: Quantity      # from a peak down to its hole
    sides: int = 8


METRIC = Sizes(mm(30), mm(40), mm(60), mm(39), mm(12), mm(4), mm(3), mm(8))
INCHES = Sizes(inch("5/4"), inch("13/8"), inch("19/8"), inch("13/8"), inch("1/2"), inch("3/16"), inch("1/8"),
               inch("5/16"))

STEPS = ("cut the strip", "score the panels", "foot and shoulder", "ticks", "cut the feet", "trim the tab",
         "curves", "holes", "fold", "glue the seam", "glue the floor", "ribbon")


def opposite(n: int) -> tuple[int, ...]:
    """1, 5, 2, 6 … of eight: each followed by the one across from it."""
    half = (n + 1) // 2
    return tuple(k for first in range(1, half + 1) for k in (first, first + half) if k <= n)


def caddy(system="mm", s: Sizes | None = None) -> Plan:
    """An eight-sided caddy in twelve steps (:data:`STEPS`), the way its tutorial makes it."""
    s = s or (METRIC if system == "mm" else INCHES)
    work = Work(system)
    n, shoulder = s.sides, s.foot + s.wall
    width, height = Quantity(s.panel.value * n, 1) + s.tab, shoulder + s.crown
    xs = [Quantity(s.panel.value * k, 1) for k in range(1, n + 1)]
    mids = [Quantity(s.panel.value * (2 * k - 1) / 2, 1) for k in range(1, n + 1)]
    w, h, f, y, last = width.value, height.value, s.foot.value, shoulder.value, xs[-1].value
    work.next_step()
    work.sheet("strip", width, height)
    work.next_step()
    panels = work.upright("score", "panels", xs, 0, h)
    work.next_step()
    work.level("score", "foot_line", s.foot)
    work.level("score", "shoulder", shoulder)
    work.next_step()
    work.upright("tick", "peaks", mids, h - 4, h)
    work.next_step()
    work.upright("cut", "feet", xs, 0, f)
    _cut_scores(work, panels, f, h)
    work.next_step()
    _trim_tab(work, last, w, h, f, y)
    work.next_step()
    _curves(work, s, xs, mids, shoulder, height)
    work.next_step()
    holes = [Circle(Point(m.value, h - s.drop.value), s.hole.value / 2) for m in mids]
    punched = work.marks("punch", "eyes", holes, sizes=(s.hole,),
                         positions=[((m, Side.LEFT), (s.drop, Side.TOP)) for m in mids])
    work.next_step()
    work.fold([(m, FoldDirection.MOUNTAIN, [line(m.place.value, f, m.place.value, y)]) for m in panels])
    work.fold([(m, FoldDirection.VALLEY, [line(m.place.value, y, m.place.value, h)]) for m in panels[:-1]])
    work.next_step()
    tab = work.face("tab_face", loop((last, f), (w, f), (w, y), (last, y)))
    wall = work.face("walls", loop((0, f), (s.panel.value, f), (s.panel.value, y), (0, y)), 1, n)
    work.note("glue", detail=Glue((tab,), (wall,)), faces=(tab.id,))
    work.next_step()
    feet = tuple(work.face("feet", loop((a, 0), (b, 0), (b, f), (a, f)), k, n)
                 for k, (a, b) in enumerate(zip([0, *(x.value for x in xs)], [x.value for x in xs],
                                                strict=False), 1))
    work.note("glue", detail=Glue(feet, (), False, opposite(n)), faces=tuple(x.id for x in feet))
    work.next_step()
    ribbon = work.sheet("ribbon", mm(600) if system == "mm" else inch(24), mm(12), kind="ribbon")
    work.note("thread", (ribbon, 0), marks=tuple(m.id for m in punched),
              detail=Thread(tuple(m.id for m in punched), work.state(ribbon).width))
    return work.plan()


def _cut_scores(work: Work, panels, foot, height) -> None:
    """What a cut along part of a score leaves of it."""
    ids = {m.id for m in panels}
    marks = tuple(replace(m, runs=(line(m.place.value, foot, m.place.value, height),)) if m.id in ids else m
                  for m in work.state().marks)
    work.states[0][-1] = (work.states[0][-1][0], replace(work.state(), marks=marks))


def _trim_tab(work: Work, last, w, h, f, y) -> None:
    kept = loop((0, 0), (last, 0), (last, f), (w, f), (w, y), (last, y), (last, h), (0, h))
    old = {r.stroke: r for r in work.state().outline}
    rims = tuple(old.get(s) or OutlineStroke(s, work.act if min(s.start.x, s.end.x) >= last
                                             and s.start.x != s.end.x or
                                   s.start.x == s.end.x == last else 0, work.step, SPAN) for s in kept)
    level = tuple(replace(m, runs=(line(0, m.place.value, last, m.place.value),))
                  if m.name in ("foot_line", "shoulder")
                  else m for m in work.state().marks)
    work.change("remove", outline=rims, marks=level)


def _curves(work: Work, s: Sizes, xs, mids, shoulder: Quantity, height: Quantity) -> None:
    zero = mm(0)
    strokes: list[tuple[Stroke, ...]] = []
    places = []
    for left, middle, right in zip([zero, *xs], mids, xs, strict=False):
        a, b, c = (Point(left.value, shoulder.value), Point(middle.value, height.value),
                   Point(right.value, shoulder.value))
        strokes += [(Arc(a, b, s.bulge.value),), (Arc(b, c, s.bulge.value),)]
        places += [((left, Side.LEFT), (shoulder, Side.BOTTOM), (middle, Side.LEFT), (height, Side.BOTTOM)),
                   ((middle, Side.LEFT), (height, Side.BOTTOM), (right, Side.LEFT), (shoulder, Side.BOTTOM))]
    work.marks("score", "curves", strokes, positions=places, sizes=(s.bulge,))
