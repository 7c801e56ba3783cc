"""The data of a fold slider read as its program reads it, and measured: tears, piercing, motion.

Nothing here asks the code that made the data; the turns are Rodrigues' formula.
"""
from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import numpy as np
import shapely
from shapely import Polygon

FINE, COARSE, TURN, LAYER = 1000, 100, 10000, 0.12
CHORD_POINTS = 65


class Body:
    """One piece of the data: ``panels`` are those that are drawn, as polygons of the flat plan (mm)."""

    def __init__(self, body: dict) -> None:
        self.body = body
        self.rows = [(row[0], np.array(row[1:]) / TURN) for row in body["angles"]]
        self.panels: dict[int, Polygon] = {}
        for k, panel in enumerate(body["panels"]):
            if panel is not None:
                corners = np.array(panel[0]).reshape(-1, 2)[np.array(panel[1]).reshape(-1, 3)] / FINE
                self.panels[k] = shapely.union_all(shapely.polygons(corners), grid_size=0.001)

    @property
    def stops(self) -> list[int]:
        """The places at which it has changed."""
        return self.body["moves"]

    @property
    def bends(self) -> list[list[float]]:
        """The stretches in which it bends: only their ends are shown."""
        return self.body["bends"]

    def even(self, one: int, other: int) -> Body:
        """The same with every fold turning evenly between two places."""
        rows = [[p, *(self.angles(p) * TURN)] for p in (one, other)]
        return Body({**self.body, "angles": rows, "bends": []})

    def moved(self, one: float, other: float) -> float:
        """How far its paper moves between two places, in mm."""
        now, then = self.frames(one), self.frames(other)
        corners = {k: shapely.get_coordinates(panel) for k, panel in self.panels.items()}
        far = [float(np.linalg.norm(placed(now[k], xy) - placed(then[k], xy), axis=1).max())
               for k, xy in corners.items()]
        return max(*far, self._bent(one, other), 0.0)

    def _bent(self, one: float, other: float) -> float:
        skin = self.body.get("skin")
        if skin is None:
            return 0.0
        keys = np.cumsum(skin["points"], axis=0) / COARSE
        now, then = (keys[int(np.abs(np.array(skin["at"]) - place).argmin())] for place in (one, other))
        return float(np.abs(now - then).max())

    def laced(self, stop: int) -> bool:
        """Whether a ribbon is drawn through on the way to a stop."""
        return any(lace[0] == stop and (lace[1] or lace[2]) for lace in self.body["laces"])

    def from_below(self, places: np.ndarray) -> Iterator[tuple[int, int]]:
        """Panels that lie on others at the last of some places, and came there from the wrong side."""
        rows = [row for row in self.body["lifts"] if row[0] <= places[-1]]
        levels = dict(zip(rows[-1][1::2], rows[-1][2::2], strict=True)) if rows else {}
        course, hidden = [self.frames(place) for place in places], self.covered(places[-1])
        shown = [k for k in self.panels if k not in hidden and self.body["rides"][k] == k]
        for i, j in combinations(shown, 2):
            f, g = course[-1][i], course[-1][j]
            facing = float(f[:3, 2] @ g[:3, 2])
            if abs(facing) < 1 - 1e-6 or abs((f[:3, 3] - g[:3, 3]) @ g[:3, 2]) > 0.2:
                continue
            over = np.sign(levels.get(i, 0) * np.sign(facing) - levels.get(j, 0))
            turn = np.linalg.inv(g) @ f
            common = shapely.transform(self.panels[i], lambda xy, t=turn: xy @ t[:2, :2].T + t[:2, 3]).buffer(
                0).intersection(self.panels[j])
            if common.area > 4 and over:
                middle = np.array((*shapely.get_coordinates(common.representative_point())[0], 0.0, 1.0))
                own = np.linalg.solve(turn, middle)
                heights = [((a[i] @ own)[:3] - a[j][:3, 3]) @ a[j][:3, 2] for a in course]
                apart = [h for h in heights if abs(h) > 0.2]
                if apart and apart[-1] * over < 0:
                    yield i, j

    def angles(self, place: float) -> np.ndarray:
        """Signed angles of all hinges at a place, each going evenly from one row to the next."""
        k = next((k for k, row in enumerate(self.rows) if row[0] >= place), len(self.rows) - 1)
        if k == 0 or self.rows[k][0] < place:
            return self.rows[k][1]
        (low, one), (high, other) = self.rows[k - 1:k + 1]
        return one + (place - low) / (high - low) * (other - one)

    def frames(self, place: float) -> dict[int, np.ndarray]:
        """Where panels lie (4 × 4), those that ride on others with them."""
        angles, frames = self.angles(place), {self.body["root"]: np.eye(4)}
        for panel, parent, hinge, x, y, a, b in self.body["arms"]:
            k = np.array(((0, 0, b), (0, 0, -a), (-b, a, 0)))
            turn = np.eye(4)
            turn[:3, :3] += math.sin(-angles[hinge]) * k + (1 - math.cos(angles[hinge])) * k @ k
            origin = np.array((x, y, 0)) / FINE
            turn[:3, 3] = origin - turn[:3, :3] @ origin
            frames[panel] = frames[parent] @ turn
        return {k: frames[self.body["rides"][k]] for k in self.panels}

    def covered(self, place: float) -> set[int]:
        """Panels that the bent sheet replaces at a place."""
        skin = self.body.get("skin")
        bent = skin is not None and (place > skin["at"][0] or not self.panels)
        return set(skin["covers"]) if bent else set()

    def tear(self, place: float) -> tuple[float, tuple]:
        """How far panels on both sides of a fold come apart on it (mm), and where most."""
        frames, hidden = self.frames(place), self.covered(place)
        worst: tuple[float, tuple] = (0.0, ())
        for _, one, other, hinge, *xy in self.body["lines"]:
            if one != other and not {one, other} & hidden and {one, other} <= frames.keys():
                points = np.array(xy).reshape(-1, 2) / FINE
                apart = placed(frames[one], points) - placed(frames[other], points)
                far = np.linalg.norm(apart, axis=1).max()
                worst = max(worst, (float(far), (one, other, hinge)))
        return worst

    def pierced(self, place: float, least: float = 0.05) -> tuple[float, tuple]:
        """How deep a panel is in another one (mm), and which.

        Where two cross, the depth is how far the line of crossing lies within both, times the sine between
        them: the shortest way out.
        """
        frames, hidden = self.frames(place), self.covered(place)
        shown = [k for k in self.panels if k not in hidden]
        points = {k: placed(frames[k], shapely.get_coordinates(self.panels[k])) for k in shown}
        worst: tuple[float, tuple] = (0.0, ())
        for i, j in combinations(shown, 2):
            if _astride(points[i], frames[j], least) and _astride(points[j], frames[i], least):
                deep = _crossing(self.panels[i], frames[i], self.panels[j], frames[j], points[i])
                worst = max(worst, (deep, (i, j)))
        return worst


def _astride(points: np.ndarray, frame: np.ndarray, least: float) -> bool:
    high = (points - frame[:3, 3]) @ frame[:3, 2]
    return bool(high.min() < -least and high.max() > least)


def _crossing(one: Polygon, f: np.ndarray, other: Polygon, g: np.ndarray, points: np.ndarray) -> float:
    along = np.cross(f[:3, 2], g[:3, 2])
    sine = float(np.linalg.norm(along))
    if sine < 1e-4:
        return 0.0
    along = along / sine
    rows = np.array((f[:3, 2], g[:3, 2], along))
    start = np.linalg.solve(rows, np.array((f[:3, 2] @ f[:3, 3], g[:3, 2] @ g[:3, 3], 0.0)))
    span = points @ along
    line = start + np.linspace(span.min(), span.max(), CHORD_POINTS)[:, None] * along
    return sine * float(np.minimum(_within(one, f, line), _within(other, g, line)).max())


def _within(shape: Polygon, frame: np.ndarray, line: np.ndarray) -> np.ndarray:
    """How far inside a panel points of its plane lie; 0 outside."""
    xy = ((line - frame[:3, 3]) @ frame[:3, :3])[:, :2]
    points = shapely.points(xy)
    return np.where(shapely.contains(shape, points), shapely.distance(shape.boundary, points), 0.0)


def placed(frame: np.ndarray, xy: np.ndarray) -> np.ndarray:
    """Points of the flat plan in space."""
    return xy @ frame[:3, :2].T + frame[:3, 3]
