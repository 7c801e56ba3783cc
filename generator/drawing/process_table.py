"""The table of processes: a record for all that is done to the paper of a template, and for its other layers.

Templates, cutting files, legends and bench cards are drawn from this table; a
kind of mark names its process in :mod:`generator.paper.work_kinds`. Groups
and types of processing steps are those of ISO 19593-1 as the PDF Association
models them (Dimensions and Legend: from memory). No conformance is claimed.
Colours of cutting files are those of the palette of Okabe and Ito that show
at 3:1 on white, and a dark red, since it has no sixth: a machine tells
processes apart by them.
"""
from __future__ import annotations

from generator.dataclass import dataclass
from generator.drawing.pen import Role


@dataclass(frozen=True, slots=True)
class Process:
    """One process, or one layer of a template that is no process.

    ``key`` is the group of a recording, the group of a cutting SVG, and the key
    of its words; ``name``, ``kind`` and ``group`` are those of its PDF layer
    ("" for what lies in the layer of another). ``role`` is the pen's line;
    what has none is a hole (``is_hole``) or is no line. ``turn`` counts the
    steps of a cutting machine (0: nothing for it); ``colour`` and ``index`` (of
    the AutoCAD colour index; DXF reference, from memory) tell it apart in
    cutting files. ``creased`` lines are made as the machine makes its scores;
    of lines with a ``dash`` so many mm are cut, and so many left to hold the paper.
    """

    key: str
    name: str = ""
    kind: str = ""
    group: str = "Structural"
    role: Role | None = None
    is_hole: bool = False
    turn: int = 0
    colour: str = ""
    index: int = 0
    creased: bool = False
    dash: tuple[float, float] | None = None

    @property
    def line(self) -> Role:
        """The pen's line. Raises ValueError for what is no line."""
        if self.role is None:
            raise ValueError(f"{self.key} is drawn with no line")
        return self.role


INNER_EDGES, OUTER_EDGE = "cut", "outline"      # what the edges of holes and of the piece are cut with

# In the order in which they are drawn: what is cut lies over what is scored.
PROCESSES = (
    Process("glue", "Glue", "Gluing"),
    Process("glue-below", "Glue below", "Gluing"),      # on the side that is down
    Process("score", "Score", "Creasing", role=Role.SCORE, turn=3, colour="#0072b2", index=5, creased=True),
    Process("score-valley", "Score valley", "Creasing", role=Role.VALLEY, turn=2, colour="#009e73", index=3,
            creased=True),
    Process("score-mountain", "Score mountain", "Creasing", role=Role.MOUNTAIN, turn=1, colour="#0072b2",
            index=5, creased=True),
    Process("perforate", "Perforate", "Perforating", role=Role.PERFORATION, turn=4, colour="#882255", index=4,
            dash=(3.0, 1.0)),       # common practice, no source
    Process("tick", "Tick", "Creasing", role=Role.TICK, turn=4, colour="#0072b2", index=5),
    Process("punch", "Punch", "Punching", is_hole=True, turn=5, colour="#cc79a7", index=6),
    Process(INNER_EDGES, "Cut", "Cutting", role=Role.CUT, turn=6, colour="#d55e00", index=1),
    Process(OUTER_EDGE, role=Role.EDGE, turn=7, colour="#000000", index=7),
    Process("alignment", "Alignment", group="Legend"),      # how tiles are laid on each other
    Process("dimensions", "Dimensions", group="Dimensions"),
    Process("legend", "Legend", group="Legend"),
)
PROCESS_BY_KEY = {process.key: process for process in PROCESSES}
PROCESS_LAYERS = tuple(process for process in PROCESSES if process.name)
# In the order in which a machine works: scores while the paper is one piece, then what is cut within,
# outlines last.
WORKING_ORDER = tuple(sorted((process for process in PROCESSES if process.turn),
                             key=lambda process: process.turn))
# Lines of marks, the strongest first: where two lie on each other, the first is drawn.
# A tick yields to every line.
LINE_PROCESSES = tuple(sorted((process for process in reversed(PROCESS_LAYERS) if process.role),
                     key=lambda process: process.role is Role.TICK))
HOLE_PROCESSES = tuple(process for process in PROCESSES if process.is_hole)


def folded_key(process: str, mountain: bool) -> str:
    """The process of what is folded along a line that serves nothing else, by the direction seen."""
    return f"{process}-{'mountain' if mountain else 'valley'}"
