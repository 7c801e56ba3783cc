"""Noding: lines split where they meet, and what each edge of the network is part of."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry.noding import DisjointSets, PointIndex, bounded_cells, network, snap_rounded
from tests.time_limits import examples


def noded(*lines, **options):
    """{(point, point): origins} of polylines that are numbered from 0."""
    net = network([(np.array(line, float), k) for k, line in enumerate(lines)], **options)
    return {tuple(sorted(tuple(net.nodes[n].tolist()) for n in edge)): set(origins)
            for edge, origins in net.edges.items()}


def test_lines_that_cross_are_split_at_their_crossing():
    """Two diagonals of a square of 6 mm meet in (3, 3), and each half knows its own line only."""
    assert noded([(0, 0), (6, 6)], [(0, 6), (6, 0)]) == {
        ((0, 0), (3, 3)): {0}, ((3, 3), (6, 6)): {0}, ((0, 6), (3, 3)): {1}, ((3, 3), (6, 0)): {1}}


def test_where_lines_overlap_the_edge_has_both_origins():
    """A stretch of 2 to 5 mm over one of 0 to 4 mm: three edges, the middle one of both, and no
    point beyond.
    """
    assert noded([(0, 0), (4, 0)], [(5, 0), (2, 0)]) == {
        ((0, 0), (2, 0)): {0}, ((2, 0), (4, 0)): {0, 1}, ((4, 0), (5, 0)): {1}}


def test_an_end_that_nearly_touches_lies_on_the_line():
    """Within the tolerance it parts the line where it lies itself; beyond it does not."""
    line, near, far = [(0, 0), (9, 0)], [(4, 5e-6), (4, 3)], [(4, 5e-5), (4, 3)]
    assert set(noded(line, near)) == {((0, 0), (4, 5e-6)), ((4, 5e-6), (9, 0)), ((4, 5e-6), (4, 3))}
    assert set(noded(line, far)) == {((0, 0), (9, 0)), ((4, 5e-5), (4, 3))}
    assert set(noded(line, far, tolerance=1e-4)) == {((0, 0), (4, 5e-5)), ((4, 5e-5), (9, 0)),
                                                     ((4, 5e-5), (4, 3))}


def test_nodes_are_the_ends_as_they_are_given():
    """Of ends that are one node the first counts, to the last digit, however many follow."""
    third = 1 / 3
    net = network([(np.array([(third, 0), (2, 2)]), "a"), (np.array([(5, 5), (third + 1e-6, 0)]), "b")])
    assert net.nodes.tolist() == [[third, 0], [2, 2], [5, 5]] and set(net.edges) == {(0, 1), (0, 2)}


def test_snapped_lines_meet_on_the_grid():
    """Two lines that cross beside a place of the grid are split there; each part is of its line, or
    of both.
    """
    parts, sources = snap_rounded(np.array([[(0, 0), (8, 0)], [(3.01, -2), (3.01, 2)],
                                            [(5, 0.02), (8, 0.02)]]), 0.1)
    assert sorted((tuple(map(tuple, sorted(part.tolist()))), found)
                  for part, found in zip(parts, sources, strict=True)) == [
        (((0, 0), (3, 0)), (0,)), (((3, -2), (3, 0)), (1,)), (((3, 0), (3, 2)), (1,)),
        (((3, 0), (5, 0)), (0,)),
        (((5, 0), (8, 0)), (0, 2))]


def test_edges_enclose_cells():
    """A square of 4 mm with one diagonal: two triangles of 8 mm², counter-clockwise; dust is left out."""
    square, diagonal = [(0, 0), (4, 0), (4, 4), (0, 4), (0, 0)], [(0, 0), (4, 4)]
    net = network([(np.array(line, float), k) for k, line in enumerate((square, diagonal))])
    cells = bounded_cells(net.nodes, net.edges, 1.0)
    assert [cell.area for cell in cells] == [8, 8] and all(cell.exterior.is_ccw for cell in cells)
    assert bounded_cells(net.nodes, net.edges, 9.0) == []


def test_points_within_the_tolerance_have_one_number():
    """Also across the cells in which they are looked for."""
    index = PointIndex(0.1)
    assert [index.number(p) for p in ((0, 0), (0.19, 0), (0.26, 0), (0.09, 0), (0, -0.05))] == [0, 1, 1, 0, 0]


def test_joined_numbers_are_known_by_the_least_of_them():
    """Joining 4 to 3 and 3 to 1 makes one set of three."""
    sets = DisjointSets(5)
    sets.join(4, 3)
    sets.join(3, 1)
    assert sets.roots() == [0, 1, 2, 1, 1]


def test_a_record_with_arrays_cannot_be_written_into():
    """Neither nodes nor edges."""
    net = network([(np.array([(0.0, 0.0), (1.0, 1.0)]), "a")])
    with pytest.raises(ValueError, match="read-only"):
        net.nodes[0, 0] = 7
    with pytest.raises(TypeError):
        net.edges[(0, 1)] = frozenset()


@settings(deadline=None, max_examples=examples(60))
@given(st.lists(st.tuples(*[st.integers(0, 12)] * 4).filter(lambda t: t[:2] != t[2:]), min_size=1,
                max_size=12))
def test_noding_keeps_length_and_origin(lines):
    """Every edge knows each line it lies on, and the edges of a line are as long as the line."""
    rows = [(np.array([(a, b), (c, d)], float), k) for k, (a, b, c, d) in enumerate(lines)]
    net = network(rows)
    assert np.isfinite(net.nodes).all()
    for k, (line, _) in enumerate(rows):
        edges = [edge for edge, origins in net.edges.items() if k in origins]
        assert sum(np.hypot(*(net.nodes[b] - net.nodes[a])) for a,
                   b in edges) == pytest.approx(np.hypot(*(line[1] - line[0])), abs=1e-5)
