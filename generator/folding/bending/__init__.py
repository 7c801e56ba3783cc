"""Sheets that bend beside curved scores, as triangles whose lengths are kept and whose bending is penalised.

    bays           what repeats: half a bay of a gathered top, and its seats in space
      → meshing      triangles that follow the lines (layout, conforming Delaunay)
      → equilibrium  stretching, bending, planes that paper may not cross; exact derivatives; the minimum
      → gathering    start from the straight mechanism, gather band by band; tips pinched where curves swing
                     out; mirrored to the whole top
      → domes        what closes, the gap, the largest bulge; a dome for each of several curves
    pouch_plan     the flat plan of a pouch and its measures
      → pouches      two faces and their mirrored end flaps, in closed form
    motion         a bent sheet on its way, as a moving mesh

Strain is bounded by 0.5 % root mean square; readers are told what closes and
how high it stands, never a strain. Contact is judged between mirror images
only, so a top that is not symmetric is left flat, and said to be. Answers are
keyed by their lines and the code of the room; ``files/file_cache.py`` keeps
them as files in ``.foldgauge/cache``.
"""
