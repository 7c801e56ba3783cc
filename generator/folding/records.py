"""What folding knows of a piece: flat panels, the hinges between them, and what became of them.

Floats, mm, radians. The plane of a piece is its own frame (see :mod:`generator.paper.records`); z points to
whoever looks at the side that was up at first.
"""
from __future__ import annotations

import numpy as np
import shapely

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span
from generator.folding.features.crown import Crown
from generator.geometry.arrays import FloatArray, IntArray, ReadOnlyArrays
from generator.geometry.tolerances import CLOSING_TOLERANCE


@dataclass(frozen=True, slots=True)
class Bend:
    """A fold of one hinge: ``sign`` +1 towards +z, ``angle`` in radians, None to be found."""

    sign: int
    angle: float | None
    step: int
    act: int
    span: Span


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """A part of a piece that stays flat, or that a curved fold bends (``soft``)."""

    id: int
    polygon: shapely.Polygon
    soft: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Hinge(ReadOnlyArrays):
    """A straight fold from ``start`` to ``end`` (arrays of 2) between two panels.

    Panel ``left`` is on its left and ``right`` on its right.
    """

    id: int
    left: int
    right: int
    start: FloatArray
    end: FloatArray
    mark: int
    bends: tuple[Bend, ...]     # in the order of the acts; the last one holds in the end

    @property
    def bend(self) -> Bend:
        """The last fold, which holds in the end."""
        return self.bends[-1]

    @property
    def length(self) -> float:
        """From start to end, in mm."""
        return float(np.hypot(*(self.end - self.start)))

    @property
    def direction(self) -> FloatArray:
        """The unit vector (2) from start to end."""
        result: FloatArray = (self.end - self.start) / self.length
        return result

    @property
    def normal(self) -> FloatArray:
        """The unit vector (2) to its left."""
        return np.array((-self.direction[1], self.direction[0]))

    def other(self, panel: int) -> int:
        """The panel on the other side of it."""
        return self.right if panel == self.left else self.left


@dataclass(frozen=True, slots=True, eq=False)
class FreeEdge(ReadOnlyArrays):
    """An edge of a panel where the paper ends: of its outline, or along a cut. The panel lies on its left."""

    panel: int
    start: FloatArray
    end: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class FlatMap:
    """One piece as panels and hinges. ``tips`` are ends of cuts within a panel, by mark id."""

    piece: int
    panels: tuple[Panel, ...]
    hinges: tuple[Hinge, ...]
    edges: tuple[FreeEdge, ...]
    tips: tuple[tuple[int, FloatArray], ...] = ()
    findings: tuple[Finding, ...] = ()
    soft_folds: bool = False        # a curved fold was left out

    def hinges_of(self, panel: int) -> tuple[Hinge, ...]:
        """The hinges at which a panel hangs together with others."""
        return tuple(h for h in self.hinges if panel in (h.left, h.right))


@dataclass(frozen=True, slots=True)
class Residual:
    """How far one closing condition is from holding: ``gap`` in mm, ``turn`` in degrees.

    ``kind`` is "seam", "glue", "loop" or "gather"; ``index`` counts from 1 within the act.
    """

    kind: str
    act: int
    index: int
    gap: float
    turn: float
    span: Span


@dataclass(frozen=True, slots=True)
class ContentsLimits:
    """What goes into a box, upright, in mm."""

    cylinder: tuple[float, float]           # diameter, height
    box: tuple[float, float, float]         # width, depth, height
    ball: float                             # diameter


# a wall over a floor: a·x + b·y + c·z ≤ d, x and y in the floor's plane, z above it
LeaningWall = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PieceDimensions:
    """Measures of a folded piece in mm and mm³.

    ``volume``, ``fit``, ``inside`` and ``floor`` are None where they cannot be told.

    ``widths`` are the extents by which it is measured level with its floor,
    least first, ``heights`` those upwards; a piece without a floor lies as it
    likes, so there both are the same. ``stands_on_floor`` is False where it has none. ``whole``
    is False where paper beside a curved fold has no place: then all but the
    inside is that of the flat panels alone. ``settled`` is False where a panel's fold may be folded as far as
    one likes.
    """

    size: tuple[float, float, float]        # across, deep, high: upright on its floor where it has one
    volume: float | None = None
    fit: ContentsLimits | None = None
    floor: shapely.Polygon | None = None    # inside of the floor in its own plane
    inside: tuple[float, float, float] | None = None    # across, deep, high, within the paper
    widths: tuple[float, ...] = ()
    heights: tuple[float, ...] = ()
    stands_on_floor: bool = False
    whole: bool = True
    settled: bool = True
    axes: tuple[tuple[float, float, float], ...] | None = None    # unit vectors across, deep and up, in space
    slopes: tuple[LeaningWall, ...] = ()          # walls that lean in over the floor
    # what something soft may take up under a gathered top and below it: height, and volume in mm³
    soft_room: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class GatheredTop:
    """A regular, straight gathered top: its act, closed form, and whether gussets are tucked in."""

    act: int
    crown: Crown
    tucked: bool

    @property
    def closes(self) -> bool:
        """Whether its peaks meet."""
        return self.crown.closes(self.tucked)

    @property
    def stands(self) -> float | None:
        """How high it stands over its shoulder, mm; None where that is not known."""
        return self.crown.rise


@dataclass(frozen=True, slots=True, eq=False)
class BentSurface(ReadOnlyArrays):
    """Paper bent to a smooth sheet, as a mesh of triangles; mm.

    Triangles of one ``patch`` are one smooth surface, and a new patch begins at
    a fold. ``folds`` are the scores that are folded and ``edges`` the outline,
    cuts and holes, each a row of vertex numbers. ``panel`` is the panel of the
    flat map that a triangle belongs to, ``strain`` what is left of stretching
    or squeezing, as a share: root mean square and worst; of a pinched top on the
    thin sheet that it is judged on.
    """

    flat: FloatArray                        # n × 2, own frame of the piece
    points: FloatArray                      # n × 3, in space, where the frames of the panels lie too
    triangles: IntArray                     # m × 3, counter-clockwise in the flat plan
    patch: IntArray                         # m
    folds: tuple[tuple[int, ...], ...]
    edges: tuple[tuple[int, ...], ...]
    panel: IntArray                         # m
    strain: tuple[float, float]
    marks: tuple[tuple[int, ...], ...] = ()     # scores that are not folded yet


@dataclass(frozen=True, slots=True)
class Dome:
    """A gathered top with curved folds, gathered as far as the paper lets it; mm.

    It rises ``height`` over the shoulder, its peaks ``peak``, and stays open by
    ``opening`` across at the centre. ``bulge`` is that of its curves, above
    nothing where they swing towards the neighbouring bay. Where they are too
    much for the paper, ``most`` is the bulge that is not (None where no bulge
    helps). ``held`` is False where there is stretching in all that was tried.
    ``strain`` as in :class:`BentSurface`. The tips of its petals are pinched to
    a ``ridge`` so long, in mm; 0 where it is smooth.
    """

    act: int
    span: Span
    curves: Span
    crown: Crown
    tucked: bool
    height: float
    peak: float
    opening: float
    bulge: float
    strain: tuple[float, float]
    most: float | None = None
    held: bool = True
    ridge: float = 0.0

    @property
    def closes(self) -> bool:
        """Whether its peaks meet without stretching the paper."""
        return self.held and self.opening < CLOSING_TOLERANCE

    @property
    def stands(self) -> float | None:
        """How high it stands over its shoulder, mm; None where that is not known."""
        return self.height if self.held else None


@dataclass(frozen=True, slots=True)
class Pouch:
    """Two faces bent along the curves of their ends, with the end flaps upright; mm and mm³.

    ``size`` across, along and high. Flaps reach ``lip`` over the middle; below
    nothing they leave a ``gap``. The ends may be pushed in by ``pushed`` before
    a gap opens. ``steep`` is the greatest slope of the curves, which must not be
    above 1; ``outward`` is True where they swing out of the faces. Flaps
    stand out of the face across by ``beyond``, the tab out of its own by ``tab_beyond``, where that is above
    nothing.
    """

    act: int
    curves: Span
    size: tuple[float, float, float]
    volume: float
    lip: float
    pushed: float
    steep: float
    gap: float
    outward: bool = False
    beyond: float = 0.0
    tab_beyond: float = 0.0

    @property
    def closes(self) -> bool:
        """Whether its flaps cover both ends."""
        return not self.outward and self.steep <= 1 and self.gap < CLOSING_TOLERANCE


@dataclass(frozen=True, slots=True, eq=False)
class FoldedPiece(ReadOnlyArrays):
    """One piece in its final shape.

    ``frames[k]`` (4 × 4) takes points of the flat plan (x, y, 0) to where
    panel k lies; ``angles[h]`` is the fold of hinge h in radians (0 to π).
    A soft panel, or one that hangs on soft paper only, has no place: its frame is NaN-free but ``placed``
    is False.
    """

    piece: int
    name: str
    flat: FlatMap
    angles: FloatArray
    frames: FloatArray
    placed: tuple[bool, ...]
    residuals: tuple[Residual, ...] = ()
    undetermined: tuple[int, ...] = ()             # hinges whose angle nothing settles
    unconstrained: tuple[int, ...] = ()          # … of these, those that no closing touches at all
    closings: tuple[object, ...] = ()       # the Closing of each residual
    # 4 × 4, beside the first piece of the plan
    placement: FloatArray = field(default_factory=lambda: np.eye(4))
    judged: bool = True
    why_not_judged: str = ""
    dimensions: PieceDimensions | None = None
    tops: tuple[GatheredTop, ...] = ()
    # act of threading → mm of ribbon round through its holes
    ribbon_lengths: tuple[tuple[int, float], ...] = ()
    # the panels that do not stay flat; where a panel is in it, its frame says nothing
    surface: BentSurface | None = None
    dome: Dome | None = None
    pouch: Pouch | None = None
    # why what lies beside its curved folds has no shape, "" where it has, or has none
    why_not_bent: str = ""

    @property
    def gathered_tops(self) -> tuple[GatheredTop | Dome, ...]:
        """All tops of it, with straight folds and with curved ones."""
        return self.tops if self.dome is None else (*self.tops, self.dome)

    def corners(self, panel: int) -> FloatArray:
        """The outer corners of a panel in space, one a row."""
        flat = np.asarray(self.flat.panels[panel].polygon.exterior.coords)[:-1]
        return placed_points(self.frames[panel], flat)

    def normal(self, panel: int) -> FloatArray:
        """The unit vector that was +z in the flat plan."""
        result: FloatArray = self.frames[panel][:3, 2]
        return result


@dataclass(frozen=True, slots=True)
class FoldedPlan:
    """Every piece of a plan, folded; ``facts`` are plain sentences about it.

    ``sheets`` are pieces that are not folded but glued to a folded one, such
    as liners; ``joints`` the residuals between pieces. ``placement`` of each
    piece says where it lies beside the first of ``pieces``. ``tilts`` are angles in degrees at which faces
    stand to what they are said to close on.
    """

    pieces: tuple[FoldedPiece, ...]
    findings: tuple[Finding, ...]
    facts: tuple[str, ...]
    sheets: tuple[FoldedPiece, ...] = ()
    joints: tuple[Residual, ...] = ()
    tilts: tuple[float, ...] = ()

    @property
    def residuals(self) -> tuple[Residual, ...]:
        """Of all pieces and of the joints between them."""
        return (*(r for piece in self.pieces for r in piece.residuals), *self.joints)


def placed_points(frame: FloatArray, flat: FloatArray) -> FloatArray:
    """Points of the flat plan (n × 2) in space (n × 3)."""
    return flat @ frame[:3, :2].T + frame[:3, 3]
