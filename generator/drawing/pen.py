"""What a pen is told: primitives that carry meaning. Colours, widths and dashes are each back end's business.

All coordinates are mm of the picture, x to the right and y upward, from its
lower left corner.
"""
from __future__ import annotations

from abc import ABC, abstractmethod
from enum import StrEnum

from generator.dataclass import dataclass
from generator.drawing.lettering import DualText
from generator.geometry import Circle, Point, Stroke

Path = tuple[Stroke, ...]       # each stroke begins where the one before it ends


class Role(StrEnum):
    """What a line means."""

    EDGE = "edge"               # of the paper
    CUT = "cut"
    PERFORATION = "perforation"     # cut in dashes that hold
    SCORE = "score"             # not folded yet
    MOUNTAIN = "mountain"       # as seen: the ridge stands towards the reader
    VALLEY = "valley"
    TICK = "tick"
    SEAM = "seam"               # edges that will meet
    HIDDEN = "hidden"           # lies under paper
    RIBBON = "ribbon"
    LIMIT = "limit"             # round an area to keep to: for a stamp, a label
    BREAK = "break"             # the paper goes on beyond this line
    FRAME = "frame"             # round the part that the main picture shows


class Surface(StrEnum):
    """What an area means."""

    PLAIN = "plain"             # paper, its plain side up
    PRINTED = "printed"
    REMOVED = "removed"         # goes in this step
    GLUE = "glue"
    GLUE_BELOW = "glue-below"   # glue on the side that is down
    UNDER = "under"             # something is glued here
    SPARE = "spare"             # paper of a sheet that is left over


class Contour(StrEnum):
    """What a line of folded paper in space is to the eye."""

    OUTLINE = "outline"         # beyond it lies something farther away, or nothing
    CREASE = "crease"           # paper goes on at both of its sides
    MARK = "flat-score"         # a score that is not folded
    RIBBON = "lace"             # a ribbon threaded through holes


@dataclass(frozen=True, slots=True)
class FoldedFace:
    """A face of folded paper: the ``side`` seen, PLAIN or PRINTED; its ``tone``, 1 (the lightest) to 4.

    ``colour`` is that of the paper, "#rrggbb", "" for that of every paper.
    """

    side: Surface
    tone: int
    colour: str = ""


class Sign(StrEnum):
    """What a symbol means."""

    FOLD_UP = "fold-up"         # a valley: towards the reader
    FOLD_BACK = "fold-back"     # a mountain: away from the reader
    GOES = "goes"               # this part goes there
    QUARTER_LEFT = "quarter-left"
    QUARTER_RIGHT = "quarter-right"
    HALF_TURN = "half-turn"
    TURN_OVER = "turn-over"


@dataclass(frozen=True, slots=True)
class Label:
    """Words in a box around ``at``, its middle. ``upright`` words run upward and are read from the right.

    ``align`` is where in the box the words stand: "start", "middle" or "end".
    """

    words: DualText
    at: Point
    size: float
    upright: bool = False
    quiet: bool = False
    align: str = "middle"


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line from ``origin`` through all ``stops`` (ISO 129-1), with its extension lines.

    With one stop both ends have arrows. ``running`` has a small circle at the
    origin and an arrow at each stop: every stop is measured from the origin.
    """

    origin: Point
    stops: tuple[Point, ...]
    extensions: tuple[tuple[Point, ...], ...]
    running: bool = False


@dataclass(frozen=True, slots=True)
class Leader:
    """A thin line from words to the thing they name: a dot on an area, an arrow on a line."""

    points: tuple[Point, ...]
    on_line: bool = False


@dataclass(frozen=True, slots=True)
class Badge:
    """A number in a small circle; the row of the same number below the picture says the rest."""

    number: int
    at: Point


@dataclass(frozen=True, slots=True)
class Symbol:
    """A sign from ``start`` to ``end``; ``bow`` is how far it swings to the left of that line, in mm."""

    sign: Sign
    start: Point
    end: Point
    bow: float = 0.0


class Pen(ABC):
    """Whoever draws: a back end, a recording. ``fresh`` is what this step makes; the rest was there."""

    @abstractmethod
    def begin(self, process: str) -> None:
        """Start a group; groups do not nest.

        In pictures: "paper", "before", "now", "where", "measures" or "notes", for folded paper "faces"
        or "lines". At true size: the key of a process of :mod:`generator.drawing.process_table`, or "page".
        """

    @abstractmethod
    def end(self) -> None:
        """End the group."""

    @abstractmethod
    def area(self, loops: tuple[Path, ...], surface: Surface, colour: str = "") -> None:
        """Fill what an odd number of the closed ``loops`` go round; ``colour`` is that of coloured paper."""

    @abstractmethod
    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        """Draw a line."""

    @abstractmethod
    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        """Fill what an odd number of the closed ``loops`` go round, as a face of folded paper."""

    @abstractmethod
    def contour(self, path: Path, contour: Contour) -> None:
        """Draw a line of folded paper."""

    @abstractmethod
    def hole(self, circle: Circle, fresh: bool) -> None:
        """Draw a punched hole: there is no paper in it."""

    @abstractmethod
    def label(self, label: Label) -> None:
        """Write words."""

    @abstractmethod
    def dimension(self, dimension: Dimension) -> None:
        """Draw a dimension line, without its words."""

    @abstractmethod
    def leader(self, leader: Leader) -> None:
        """Draw a leader line."""

    @abstractmethod
    def badge(self, badge: Badge) -> None:
        """Draw a number in a circle."""

    @abstractmethod
    def symbol(self, symbol: Symbol) -> None:
        """Draw a sign."""
