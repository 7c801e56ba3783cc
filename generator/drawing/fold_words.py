"""What a picture of folded paper shows, in words, from the same data."""
from __future__ import annotations

from collections.abc import Sequence

import shapely

from generator.drawing.camera import Camera
from generator.drawing.sights import Sight
from generator.drawing.solid import Body, Solid
from generator.units import join

WORDS = {
    "title": "{names}, folded",
    "stands": "{name} as it stands now",
    "beside": "beside it {name}",
    "above": "{name} raised above it",
    "outside_printed": "The printed side is outside.",
    "outside_plain": "The plain side is outside.",
    "sides_both": "Both sides of the paper are seen; the plain side is hatched.",
    "view": "Seen from the front {side} and {height} above.",
    "right": "right", "left": "left",
    "little": "a little from", "well": "from well",
    "ribbon": "A ribbon runs through its holes.",
}
STEEP = 35.0        # degrees above the table


def titled(solid: Solid) -> str:
    """"Base and lid, folded"."""
    return _capital(WORDS["title"].format(names=join([_name(body) for body in solid.bodies] or ["paper"])))


def described(solid: Solid, camera: Camera, sights: Sequence[Sight], areas: Sequence[shapely.Geometry]) -> str:
    """Sentences: what stands where, which side of the paper is seen, from where, and what else there is to know."""
    told = [_capital(", ".join(_placed(body) for body in solid.bodies)) + "."] if solid.bodies else []
    seen = {sight.side for sight, area in zip(sights, areas) if area.area > 1.0}
    if len(seen) == 1:
        told.append(WORDS[f"outside_{seen.pop()}"])
    elif seen:
        told.append(WORDS["sides_both"])
    side = WORDS["right" if camera.yaw >= 0 else "left"]
    told.append(WORDS["view"].format(side=side, height=WORDS["well" if camera.pitch > STEEP else "little"]))
    if solid.ribbons:
        told.append(WORDS["ribbon"])
    return " ".join([*told, *solid.notes])


def _placed(body: Body) -> str:
    return WORDS[body.place or "stands"].format(name=_name(body))


def _name(body: Body) -> str:
    return body.name.replace("_", " ")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
