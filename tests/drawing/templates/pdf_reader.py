"""Read a template back with readers that are not ours: pdfplumber for coordinates, PDFium for pixels."""
from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from io import BytesIO

import numpy as np
import pdfplumber
import pypdfium2

MM = 72 / 25.4      # points in a mm
DPI = 600


@dataclass(frozen=True)
class Drawn:
    """What one page draws, in mm from its lower left corner: polylines of points along every path."""

    width: float
    height: float
    paths: tuple[np.ndarray, ...]
    text: str

    def segments(self) -> np.ndarray:
        """All short straight pieces as rows (x0, y0, x1, y1)."""
        rows = [np.hstack((path[:-1], path[1:])) for path in self.paths if len(path) > 1]
        return np.vstack(rows) if rows else np.empty((0, 4))

    def rings(self, radius: float) -> list[np.ndarray]:
        """The middles of the circles of this radius."""
        return [(p.min(axis=0) + p.max(axis=0)) / 2 for p in self.paths
                if np.allclose(p[0], p[-1], atol=1e-4)
                and np.allclose(np.ptp(p, axis=0), 2 * radius, atol=1e-3)
                and np.ptp(np.hypot(*(p - (p.min(axis=0) + p.max(axis=0)) / 2).T)) < 0.01]


@lru_cache(maxsize=32)
def read(data: bytes) -> tuple[Drawn, ...]:
    """Every page of a document; what was read lately is not read again."""
    with pdfplumber.open(BytesIO(data)) as document:
        return tuple(_page(page) for page in document.pages)


def _page(page) -> Drawn:
    height = float(page.height)
    paths = [path for item in (*page.lines, *page.rects, *page.curves)
             for path in _polylines(item["path"], height)]
    return Drawn(float(page.width) / MM, height / MM, tuple(paths), page.extract_text() or "")


def _polylines(operators, height: float) -> list[np.ndarray]:
    """Each part of a path that begins with a move, its curves followed in 32 steps."""
    found: list[list[np.ndarray]] = []
    for operator, *points in operators:
        at = [np.array((x, height - y)) / MM for x, y in points]
        if operator == "m":
            found.append([at[0]])
        elif operator == "l":
            found[-1].append(at[0])
        elif operator == "c":
            t = np.linspace(0, 1, 33)[1:, None]
            p0, (p1, p2, p3) = found[-1][-1], at
            found[-1] += list((1 - t) ** 3 * p0 + 3 * t * (1 - t) ** 2 * p1 + 3 * t * t * (1 - t) * p2
                              + t ** 3 * p3)
        elif operator == "h":
            found[-1].append(found[-1][0])
    return [np.array(path) for path in found]


def distances(points: np.ndarray, segments: np.ndarray) -> np.ndarray:
    """How far each point lies from the nearest segment, in mm."""
    a, b = segments[:, :2], segments[:, 2:]
    ab = b - a
    size = np.maximum((ab ** 2).sum(axis=1), 1e-18)
    t = np.clip(((points[:, None, :] - a) * ab).sum(axis=2) / size, 0, 1)
    return np.sqrt((((a + t[..., None] * ab) - points[:, None, :]) ** 2).sum(axis=2)).min(axis=1)


def along(path: np.ndarray, step: float = 2.0) -> np.ndarray:
    """Points of a polyline, no two neighbours further apart than ``step`` mm."""
    rows = []
    for a, b in zip(path[:-1], path[1:], strict=True):
        count = max(1, int(np.hypot(*(b - a)) // step) + 1)
        rows += [a + (b - a) * k / count for k in range(count + 1)]
    return np.array(rows)


@lru_cache(maxsize=4)
def rendered(data: bytes, page: int = 1, dpi: int = DPI) -> np.ndarray:
    """A page as PDFium shows it: darkness from 0 to 255, rows from the top."""
    with pypdfium2.PdfDocument(data) as document:
        shown = document[page - 1].render(scale=dpi / 72, grayscale=True).to_numpy()
        return 255 - shown.reshape(shown.shape[:2])


def pixels(mm: float, dpi: int = DPI) -> float:
    """A length in pixels."""
    return mm / 25.4 * dpi


def middles(row: np.ndarray, dark: int = 128) -> list[float]:
    """The middle of each run of dark pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], (row > dark).astype(int), [0]))))
    return [(a + b - 1) / 2 for a, b in zip(edges[::2], edges[1::2], strict=True)]


# ISO 216; ANSI/ASME Y14.1
A4, LETTER = (Fraction(210), Fraction(297)), (Fraction(2159, 10), Fraction(2794, 10))
