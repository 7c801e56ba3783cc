"""Problems gcut1 to gcut4 of the OR-Library (Beasley 1985): blanks worth their area, a sheet of 250 × 250.

The sizes are those of the library's files, the optima those that Cintra and others published (2008): as gcut1
to gcut4 and, with blanks that may be turned, as gcut1r to gcut4r.
"""
from __future__ import annotations

SHEET = (250, 250)
# problem → what its blanks may be worth at most, as they lie, and turned as well
OPTIMA = {"gcut1": (56460, 58136), "gcut2": (60536, 60611), "gcut3": (61036, 61626),
          "gcut4": (61698, 62265)}
SIZES = {
    "gcut1": ("167x184 114x118 167x152 83x140 70x86 143x166 120x160 66x148 87x141 69x165"),
    "gcut2": ("120x133 135x186 86x75 103x73 66x85 135x97 91x175 131x176 71x176 153x72 87x148 168x107 "
              "118x90 140x109 132x159 152x93 135x68 121x158 68x94 155x76"),
    "gcut3": ("66x80 164x107 64x184 121x86 163x135 85x98 81x102 103x186 152x106 176x139 111x118 69x169 "
              "146x133 112x112 133x160 63x129 163x152 110x155 96x136 92x142 84x143 119x133 71x71 146x84 "
              "93x86 89x86 101x146 172x73 73x169 99x99"),
    "gcut4": ("139x103 166x99 88x74 174x139 128x109 175x179 62x82 178x87 121x77 125x97 73x84 69x97 "
              "122x159 66x69 111x118 165x86 71x83 163x162 67x132 121x152 68x150 138x124 141x105 183x122 "
              "171x63 101x64 103x95 110x107 184x158 85x97 86x92 127x155 92x147 106x97 177x108 164x150 "
              "68x84 62x151 123x134 158x178 70x140 173x117 147x136 141x145 84x164 144x141 92x103 156x98 "
              "160x111 127x131"),
}


def blanks(problem: str) -> list[tuple[int, int]]:
    """The (width, height) of each kind of blank of a problem."""
    sizes = (size.split("x") for size in SIZES[problem].split())
    return [(int(wide), int(high)) for wide, high in sizes]
