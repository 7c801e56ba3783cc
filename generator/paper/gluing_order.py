"""Numbers of faces that are glued on each other, which say where they lie, and their order as a list."""
from __future__ import annotations

from generator.paper.records import Face, Glue


def face_numbers(glue: Glue) -> tuple[int, ...]:
    """The number of each face, which says where it lies and never when its turn is.

    It is that in its own group; faces of several statements are counted from left to right.
    """
    own = tuple(face.index for face in glue.faces)
    if len({(face.name, face.act) for face in glue.faces}) == 1 and len(set(own)) == len(own):
        return own
    ranked = sorted(range(len(own)), key=lambda k: _place(glue.faces[k]))
    return tuple(ranked.index(k) + 1 for k in range(len(own)))


def order_text(glue: Glue) -> str:
    """Such as "1, 5, 2, 6": the numbers of the faces, the one that is glued first first.

    It is "" where they go to a target.
    """
    numbers = face_numbers(glue)
    return "" if glue.target else ", ".join(str(numbers[place - 1]) for place in glue.order)


def _place(face: Face) -> tuple[int, int, int]:
    """Its piece and the middle of its corners, in whole mm."""
    corners = [stroke.start for stroke in face.outline]
    return (face.piece, round(sum(float(p.x) for p in corners) / len(corners)),
            round(sum(float(p.y) for p in corners) / len(corners)))
