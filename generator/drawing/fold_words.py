"""What a picture of folded paper shows, in words, from the same data."""
from __future__ import annotations

from collections.abc import Sequence

import shapely

from generator.drawing.camera import Camera
from generator.drawing.sights import Sight
from generator.drawing.solid import Solid
from generator.tongue import ENGLISH, Tongue, capital

STEEP = 35.0        # degrees above the table
SEEN = 1.0          # mm² of the picture; less of a side is not worth a word


def titled(solid: Solid, tongue: Tongue = ENGLISH) -> str:
    """"Base and lid, folded"."""
    names = [tongue.name(body.name) for body in solid.bodies] or [tongue.say("drawing.shape.nothing")]
    return capital(tongue.say("drawing.shape.title", names=tongue.join(names)))


def described(solid: Solid, camera: Camera, sights: Sequence[Sight], areas: Sequence[shapely.Geometry],
              tongue: Tongue = ENGLISH) -> str:
    """Sentences: what stands where, which side of the paper is seen, from where, and what else there is to know."""
    placed = [tongue.say(f"drawing.shape.{body.place or 'stands'}", name=tongue.name(body.name)) for body in solid.bodies]
    told = [tongue.say("drawing.shape.told", names=tongue.join(placed))] if placed else []
    seen = sorted({sight.side for sight, area in zip(sights, areas) if area.area > SEEN})
    if seen:
        told.append(tongue.say(f"drawing.shape.outside_{seen[0]}" if len(seen) == 1 else "drawing.shape.sides"))
    side = "right" if camera.yaw >= 0 else "left"
    told.append(tongue.say(f"drawing.shape.steep_{side}" if camera.pitch > STEEP else f"drawing.shape.{side}"))
    if solid.ribbons:
        told.append(tongue.say("drawing.shape.ribbon"))
    return " ".join([*told, *(tongue.say(f"drawing.shape.note.{note}") for note in solid.notes)])
