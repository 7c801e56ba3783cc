"""Tolerances of geometry, sheets and folding, each with its unit and its reason; lengths in mm, areas in mm².

That of exact measures, ``TOLERANCE``, stands in ``units``, which geometry rests on.
"""
from __future__ import annotations

import math

from generator.units import TOLERANCE

# -- choices among equal values (ties.py)
# mm; computed lengths closer than this are equal: far above rounding, and far below what is printed
EQUAL_LENGTHS = 1e-3
# mm²; … and areas
EQUAL_AREAS = 2.0 ** -7
# mm or a cosine; a power of two, since no measure of either system lies half-way between two such places
GRID = 2.0 ** -20

# -- strokes
# mm; boxes this close are looked at closely: wider than any place is wrong, so that no meeting is missed
BOX_MARGIN = 1e-7
# mm; two computed places closer than this are one place: each may be wrong by the tolerance, and sums
COINCIDENT = 10 * TOLERANCE
# radians; an extreme of a curve closer to an end than this is that end
EXTREME_ANGLE_TOLERANCE = 1e-8
# bulge over chord; flatter than this no sum can tell an arc from a line
MIN_BULGE_RATIO = 1e-12
# chord over bulge; rounder than this an arc is a whole circle
MIN_CHORD_RATIO = 1e-9
# share of a turn; two parts that make up a circle do so only to the last digits
FULL_CIRCLE_TOLERANCE = 1e-12
# square of a share of the half axis; an ellipse arc whose centre is so near its chord is half an ellipse
HALF_ELLIPSE_TOLERANCE = 1e-13
# share by which two points may lie too far apart and still count as a diameter
DIAMETER_TOLERANCE = 1e-9
# share of both half axes to which the length of an ellipse arc is summed: some 50 roundings
ARC_LENGTH_TOLERANCE = 1e-14

# -- crossings
# sine; two lines at a smaller angle are parallel: their meeting has no digits left
PARALLEL_SINE = 1e-12
# sine; two lines at a larger angle only cross, and do not lie on one another
OVERLAP_SINE = 1e-3
# how far from the unit circle a root may lie before it is polished
UNIT_CIRCLE_TOLERANCE = 1e-3
# radians; Newton's method ends with a smaller step, the last digit of an angle
NEWTON_STEP_TOLERANCE = 1e-16

# -- areas
# mm; places of an overlay are snapped to it: ten thousand roundings of a metre, far below any cut
OVERLAY_GRID = 1e-9
# mm; an area of smaller mean width is the dust of arithmetic
SLIVER_WIDTH = 1e-8
# mm; a rectangle may touch what bounds it
CONTACT_TOLERANCE = 1e-7
# share; areas that differ by less are equal, and the first is taken
EQUAL_AREA_SHARE = 1e-12

# -- sheets
# mm; a side that leaves its direction by less runs level or upright
SIDE_TOLERANCE = 1e-6

# -- points, chords and closings
# mm; points closer than this are one point of the flat plan: some 10⁸ times rounding
POINT_TOLERANCE = 1e-5
# mm; edges closer than this meet
CLOSING_TOLERANCE = 0.1
# mm; how far a chord may leave the curve that it stands for: finer than any tool, and few points
CHORD_TOLERANCE = 0.05
# mm; … where distances and areas are measured, to a hundredth
FINE_CHORD_TOLERANCE = 0.01
# mm; … where triangles follow the curve and bend about it
MESH_CHORD_TOLERANCE = 0.002
# mm; … where the direction of its ends is taken from its first chords
TANGENT_CHORD_TOLERANCE = 0.005

# -- planar map
# mm; a cut that stops so close to a fold is as good as cut to it (common practice, no source)
CUT_SNAP_LENGTH = 1.0
# mm²; a cell smaller than this is the dust of arithmetic
MIN_CELL_AREA = 1e-4

# -- edges that tabs are to meet
# an edge and a hinge that are to meet differ by less than this share in length
LENGTH_TOLERANCE = 0.35
# cosine; an edge that a hinge is to lie on runs about its way
MIN_PARALLEL_COSINE = 0.8
# of a hinge's length: a tab's hinge farther than this from an edge was not meant to meet it
MAX_EDGE_DISTANCE = 0.35

# -- lids and sleeves
# mm; rounding of what a lid and its base have between them
CLEARANCE_TOLERANCE = 1e-6
# mm beyond what the paper takes; a lid or sleeve with more of it is loose (common practice, no source)
MAX_PLAY = 3.5

# -- flat plan
# mm; ends that lie closer are one
END_TOLERANCE = 0.05
# mm; holes so near each other go through both layers
ALIGNED_TOLERANCE = 0.5
# mm between a hole and an edge (common practice, no source)
MIN_EDGE_CLEARANCE = 3.0
# mm; a cut that ends closer behind a fold ends on it
MIN_OVERRUN = 0.05
# mm; a cut that goes on farther than this behind a fold is meant to (common practice, no source)
MAX_OVERRUN = 8.0

# -- folded flat
# radians; folded this far or farther, two panels lie on each other
FLAT_FOLD_ANGLE = math.pi - 1e-3
# share of the smaller of two panels or faces that lie on each other; less of it only touches
MIN_OVERLAP_SHARE = 0.02

# -- tabs and rings
# mm; panels that differ by more are meant to be different
MAX_SLIP = 3.0
# mm; half a millimetre less is a deliberate ease of what goes inside (common practice, no source)
MAX_EASE = 0.75
# mm; panels that differ by less are equally wide
WIDTH_TOLERANCE = 0.01
# mm; a narrower tab holds badly (common practice, no source)
MIN_TAB_WIDTH = 5.0

# -- assembly
# share of a face that lies in one panel
WITHIN_PANEL_SHARE = 0.98
# mm; a liner that reaches farther over its panel stands up at the fold
MAX_LINER_OVERHANG = 0.25
# mm; more than paper gives when a part is pushed in (common practice, no source)
MAX_PRESS_FIT = 0.25

# -- collisions
# mm beyond the paper's thickness before two panels are said to collide
COLLISION_MARGIN = 0.15

# -- crown
# of the panel's width: on the edge of the window still closes, as n = 6 with h = w does
WINDOW_TOLERANCE = 1e-9

# -- lids
# cosine; panels whose outsides look away from each other
OPPOSITE_COSINE = -0.999

# -- tabs
# mm²; paper beyond an edge that nobody sees
NEGLIGIBLE_AREA = 0.5
# mm; a tab may reach so far beyond an edge before anybody sees it
MAX_OVERHANG = 0.5

# -- tops
# of the width: petals that differ by less are equal
EQUAL_TOLERANCE = 1e-6

# -- floors
# 1 − cosine; a panel that leans less lies level with the floor
LEVEL_TOLERANCE = 1e-6
# mm; a narrower hole in a floor is no hole
MIN_HOLE_DIAMETER = 0.5
# mm²; a smaller hole in a floor is no hole
MIN_HOLE_AREA = 1.0
# mm; hinges that end so close to each other go on round the floor
HINGE_END_TOLERANCE = 0.5

# -- dimensions
# mm; rims that differ by less in height are one rim
RIM_TOLERANCE = 0.05
# cosine; a wall that leans less stands upright
UPRIGHT_COSINE = 1e-3
# share of the whole surface that may be missing from one that is closed
SURFACE_TOLERANCE = 1e-6

# -- defects
# mm; a lid with more air than this, both sides together, falls off (common practice, no source)
MAX_LID_AIR = 4.0
# mm; so far may a corner of a ring stand aside before anybody sees it (common practice, no source)
MAX_UNSEEN_TWIST = 1.5
# mm; so far may a wall lean at its rim before anybody sees it (common practice, no source)
MAX_UNSEEN_LEAN = 1.0
# mm; a gap that nobody sees (common practice, no source)
MAX_UNSEEN_GAP = 0.5

# -- marking errors
# mm; marks that lie closer are one line, steps that differ by less are equal
SAME_LINE_TOLERANCE = 1e-6
# sine; lines that turn by less at a corner go straight on
COLLINEAR_SINE = 1e-4
# sine; a line that crosses at a smaller angle does not say where its corner goes
MIN_CROSSING_SINE = 0.3
# mm; a corner so near a line lies on it
ON_LINE_TOLERANCE = 1e-5

# -- bent paper: bays
# of the panel's width; how evenly the bays must stand round their axis
EVENNESS_TOLERANCE = 1e-3
# mm; lines of two bays that lie closer are the same
LINE_TOLERANCE = 0.05

# -- bent paper: gathering
# mm; points of two bays that lie closer in the flat plan are one
SEAM_TOLERANCE = 1e-3
# mm; a curve that leaves its bay by less does not
BAY_TOLERANCE = 1e-4

# -- bent paper: motion
# mm; points of a mesh that lie closer in the flat plan are one
MESH_POINT_TOLERANCE = 0.01

# -- stages
# mm; panels whose shared fold comes apart by more are torn: what an eye sees at natural size
MAX_TEAR = 0.3
# mm; a panel deeper in another one passes through it
MAX_PIERCING = 0.3

# -- plans
# mm, or share of a stroke; computed places and lengths closer than this are one: above rounding, below any
# mark
PLACE_TOLERANCE = 1e-6
# mm; edges of two faces this close are one edge
JOINED_EDGE_TOLERANCE = 1e-7
# mm²; faces of a net that share less only touch
MIN_FACE_OVERLAP = 1e-3
# mm; a curve may swing out of the paper by less than the width of a pencil line
MAX_SWING = 0.1
# mm from the edge of a face to a fold that runs along it
FOLD_AT_EDGE = 1e-3
# mm²; parts of a glued face that are smaller are what rounding leaves over
MIN_PART_AREA = 0.01
# mm²; a smaller hole under a flat piece is no window
MIN_WINDOW_AREA = 1.0
# mm by which work may reach over the edge of an area that is kept clear
AREA_MARGIN = 1e-3

# -- pictures of steps and templates
# mm of paper; lines and dimensions closer than this are one: below what a printer sets
DRAWN_PLACE_TOLERANCE = 1e-4
# of a score's length; a shorter part is not drawn
MIN_SCORE_SHARE = 1e-6
# mm; what is left of a line and shorter than this is nothing
MIN_REMAINDER = 1e-4
# mm; prick marks closer than this are one
PRICK_TOLERANCE = 1e-3
# mm²; a piece or a common part with less has no area
MIN_PIECE_AREA = 1e-6
# mm by which the paper's edge may leave its curves where prick marks are held against it
CLEAR_CHORD_TOLERANCE = 0.1
# mm by which a curve may leave the chords that words and alignment marks are held against
LABEL_CHORD_TOLERANCE = 0.3
# pixels by which a straight piece may leave its curve
PIXEL_CHORD_TOLERANCE = 0.02

# -- pictures of folded paper
# mm, a seventh of a pixel on the page; an arc that leaves its chord by less is drawn straight
PICTURE_CHORD_TOLERANCE = 0.035
# mm of the picture; what is closer is one point
PICTURE_GRID = 0.002
# mm of the picture; lines this close meet
NODE_TOLERANCE = 0.01
# mm of the picture; a shorter line is not seen
MIN_LINE_LENGTH = 0.08
# mm by which a corner may leave the line through its neighbours
MAX_CORNER_OFFSET = 0.012
# mm² of the picture; a smaller part is not seen
MIN_VISIBLE_AREA = 0.01
# mm of the picture; narrower areas are slivers
MIN_AREA_WIDTH = 0.02
# of a line; less between two parts that hide it is not seen
MIN_LINE_SHARE = 1e-6
# mm of depth; closer parts lie in one plane
COPLANAR_DEPTH = 0.02
# mm of depth by which a part must lie before a line to hide it
OCCLUSION_DEPTH = 0.06
# mm of depth; paper this close to a line touches it, a pile of flaps included
CONTACT_DEPTH = 1.6
# mm; panels this close lie on each other
CONTACT_DISTANCE = 0.2
# mm²; panels that share less do not lie on each other
MIN_LAYER_OVERLAP = 2.0
# 1 − cosine; panels that lean less towards each other are parallel
PARALLEL_TOLERANCE = 1e-4
# cosine; a facet seen flatter than this is a sliver
EDGE_ON_COSINE = 0.12
# cosine; a flat part turned away so far is a line
EDGE_ON_LIMIT = 0.004
# mm²; views that show as much but for less than this are equal, and the first in order is taken
EVEN_VIEWS = 0.1
# degrees between two pitches
PITCH_GRID = 2.0 ** -10
# of nearness and of the plane it changes in: far below a depth that is told apart
NEARNESS_GRID = 2.0 ** -40
# mm; a wall this close to the middle of everything has no inner side
MIDDLE_TOLERANCE = 1e-3
# a vector shorter than this has no direction: it keeps a quotient finite
MIN_NORM = 1e-12
# radians; a fold by less is a line on flat paper
MIN_DRAWN_FOLD = 0.02
# radians; an angle that changes by less does not move
MIN_TURN = 1e-6
# radians; … that a loop has brought to its end
MIN_LOOP_TURN = 1e-3
# of a triangle; a point on the edge of two of them is taken to lie in the first
SHARED_EDGE_SHARE = 1e-9
# mm; a bent sheet meets a flat panel this close to it
BORDER_TOLERANCE = 0.05
# mm; where they meet along less, nothing is drawn
MIN_BORDER_LENGTH = 0.5
