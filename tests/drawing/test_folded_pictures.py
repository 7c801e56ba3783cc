"""Pictures of folded paper as they come out: in SVG and in pixels, in words, and the same each time."""
from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from lxml import etree

from generator.drawing.backends.legend import legend
from generator.drawing.backends.png import png as png_picture
from generator.drawing.backends.svg import svg
from generator.drawing.folded.camera import Body
from generator.drawing.folded.fold_pictures import draw_solid, shared_camera
from generator.drawing.pen import Contour, FoldedFace, Surface
from generator.drawing.steps.layout import PICTURE_WIDTH
from generator.drawing.style import (
    CONTOURS,
    FACE_SIDES,
    FACE_TONES,
    PALETTE,
    SOLID_NARROW,
    SOLID_WIDE,
    contrast,
    face_name,
)
from generator.geometry import Arc
from generator.locale import locale_for
from tests.drawing.sample_solids import bent, cube, tray, tube

SVG = {"s": "http://www.w3.org/2000/svg"}


def picture(solid, key: str = "box"):
    return draw_solid(solid, shared_camera(solid)).described(key)


def text(solid) -> str:
    made = picture(solid)
    return svg(made.recording, made.title, made.description, made.key, kind=made.kind)


def test_the_same_paper_gives_the_same_bytes():
    """Twice drawn, twice alike, in SVG and in pixels."""
    assert text(tray()) == text(tray())
    once, again = (png_picture(picture(tray()).recording, 4).tobytes() for _ in range(2))
    assert once == again


def test_a_place_that_is_no_number_is_refused():
    """ValueError, and never NaN in a picture."""
    broken = cube()
    parts = (replace(broken.parts[0], corners=np.full_like(broken.parts[0].corners, np.nan)),
             *broken.parts[1:])
    with pytest.raises(ValueError, match="not a number"):
        picture(replace(broken, parts=parts))
    assert "nan" not in text(cube()) and "inf" not in text(cube()).replace("inside", "")


def test_lines_of_one_meaning_share_a_path():
    """One path for all outlines, one for all creases, one for each tone: a cube has five, and a title and a
    description.
    """
    root = etree.fromstring(text(cube()))
    names = [path.get("class") for path in root.iterfind(".//s:path", SVG)]
    assert sorted(names) == sorted(["outline", "crease",
                                    *{n for n in names if n.startswith("printed-")}]) and len(names) == 5
    assert root.findtext("s:title", namespaces=SVG) == "Box, folded"
    assert root.findtext("s:desc",
                         namespaces=SVG).startswith(
                             "Folded paper: box. The printed side is outside. Seen from the front")


def test_the_inside_is_hatched_and_said_to_be():
    """Both sides seen: the plain one has a hatch, which the legend shows with its word; a closed box has
    none.
    """
    open_box, shut = picture(tray()), picture(cube())
    assert "plain side is hatched" in open_box.description and "inside-hatched" in text(tray())
    assert dict(legend(open_box.recording)) == {"plain-2": "plain side", "printed-2": "printed side"}
    assert "inside-hatched" not in text(cube()) and legend(shut.recording) == ()
    german = draw_solid(tray(), shared_camera(tray())).described("kiste", locale_for("de"))
    assert "schraffiert" in german.description and german.title.endswith("gefalzt")


def test_a_hatch_lies_over_every_tone_of_its_side():
    """The hatched path comes after all faces, so that none covers it."""
    root = etree.fromstring(text(tray()))
    names = [path.get("class") for path in root.find(".//s:g[@class='g-faces']", SVG)]
    assert names[-1] == "inside-hatched"


def test_outlines_are_twice_as_wide_as_creases():
    """2:1 (ISO 128-2; from memory), and no two lines of folded paper look alike."""
    assert pytest.approx(2 * SOLID_NARROW) == SOLID_WIDE
    assert len({(style.wide, style.dash, contour is Contour.RIBBON) for contour,
                style in CONTOURS.items()}) == len(Contour)


def test_tones_grow_darker_and_ink_shows_on_all_of_them():
    """Each tone of a side is darker than the one before; ink reaches 4.5:1 on every one (WCAG 2.2, 1.4.3)."""
    for side in FACE_SIDES:
        ratios = [contrast(PALETTE["ink"], PALETTE[face_name(FoldedFace(side, tone))]) for tone in FACE_TONES]
        assert ratios == sorted(ratios, reverse=True) and ratios[-1] > 4.5


def test_three_faces_of_a_cube_have_three_tones():
    """One light: the top is lightest, the side turned away from it darkest."""
    made = picture(cube()).recording
    faces = [(item.box(), item.arguments[1]) for item in made.of("face")]
    assert len({face for _, face in faces}) == 3 and all(face.side is Surface.PRINTED for _, face in faces)
    top = max(faces, key=lambda row: row[0].y1)
    assert top[1].tone == 1


def test_curves_are_drawn_as_curves():
    """The rims of a tube are arcs, not the chords of its mesh; every arc leaves its chord by little, and ends
    where the next begins.
    """
    made = picture(tube()).recording
    rims = [item.arguments[0] for item in made.of("contour") if len(item.arguments[0]) > 4]
    assert rims and all(sum(isinstance(s, Arc) for s in rim) > len(rim) / 2 for rim in rims)
    for rim in rims:
        assert all(math.dist(a.end, b.start) < 1e-9 for a, b in pairwise(rim))
        assert all(abs(s.bulge) < 1.5 for s in rim if isinstance(s, Arc))


def test_a_smooth_part_has_few_tones():
    """A tube of 256 triangles has at most four tones a side, and stays small."""
    made = text(tube())
    names = {path.get("class") for path in etree.fromstring(made).iterfind(".//s:path", SVG)}
    assert len(names & {face_name(FoldedFace(Surface.PRINTED, tone)) for tone in FACE_TONES}) in (2, 3, 4)
    assert len(made.encode()) < 10_000


def test_a_dome_of_many_triangles_stays_below_25_kb():
    """Eight bent petals over a prism, some 800 triangles."""
    def petal(k):
        def surface(u, v):
            turn, r = 2 * np.pi * (k + u) / 8, 40 * np.cos(v * np.pi / 2) * (1 + 0.06 * np.sin(np.pi * u))
            return r * np.cos(turn), r * np.sin(turn), 60 + 30 * np.sin(v * np.pi / 2)
        return bent(surface, 7, 9)
    solid = replace(cube(50.0), parts=(*cube(50.0).parts, *map(petal, range(8))))
    assert len(text(solid).encode()) < 25_000


def _hex(colour: tuple[int, int, int]) -> str:
    return "#" + bytes(colour).hex()


def test_pixels_show_what_the_svg_shows():
    """Tone of the top in its middle, ink on the outline, ground beside it."""
    made = picture(cube())
    image, scale = png_picture(made.recording, 8), 8
    top = max((item for item in made.recording.of("face")), key=lambda item: item.box().y1)
    box, name = top.box(), face_name(top.arguments[1])
    at = ((box.x0 + box.x1) / 2 * scale, (made.recording.height - (box.y0 + box.y1) / 2) * scale)
    assert _hex(image.getpixel(tuple(map(round, at)))) == PALETTE[name]
    assert _hex(image.getpixel((2, 2))) == PALETTE["ground"]
    assert PALETTE["ink"] in {_hex(colour) for _, colour in image.getcolors(1 << 16)}


def test_all_pictures_of_a_shared_view_have_one_scale():
    """An edge is as long beside a small box as beside a large one, and every picture is as wide.

    The scale is a plain number, which is stored with a card and read without the library of arrays.
    """
    small, large = cube(20.0), cube(40.0)
    view = shared_camera(large, (small,))
    assert type(view.scale) is float
    made = [draw_solid(solid, view).recording for solid in (small, large)]
    spans = [max(item.box().x1 for item in each.of("contour"))
             - min(item.box().x0 for item in each.of("contour")) for each in made]
    assert spans[1] / spans[0] == pytest.approx(2.0, rel=0.08) and {each.width
                                                                    for each in made} == {PICTURE_WIDTH}


def test_a_ribbon_is_seen_before_the_paper_and_not_behind_it():
    """A way before the front is drawn whole, one within the box not at all; the words tell of it."""
    before = np.array(((-15.0, -21.0, 20.0), (15.0, -21.0, 20.0)))
    within = np.array(((-15.0, 0.0, 20.0), (15.0, 0.0, 20.0)))
    for ribbon, count in ((before, 1), (within, 0)):
        made = picture(replace(cube(), ribbons=(ribbon,)))
        assert sum(item.arguments[1] is Contour.RIBBON for item in made.recording.of("contour")) == count
        assert made.description.endswith("A ribbon runs through its holes.")


def test_the_words_say_what_stands_where():
    """Two pieces, one above the other, by their names as words."""
    made = picture(replace(cube(), bodies=(Body("biscuit_base"), Body("lid", "above")), notes=("upright",)))
    assert made.title == "Biscuit base and lid, folded"
    assert made.description.startswith("Folded paper: biscuit base and lid raised above it.")
    assert made.description.endswith("as it stands before it is gathered.")
