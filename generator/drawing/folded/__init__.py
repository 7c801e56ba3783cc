"""Folded paper in space, and its pictures: solids, layers, camera, hidden lines, the data of the slider.

    folding/stages     how a piece stands after each step, and on the way between
      → solid_builder, layer_order   panels, bent sheets, edges, ribbons in space; which layer is above
      → camera, projection   where the reader stands; each part as an area that knows how near it is
      → hidden_lines     what remains of each area without all before it; the seen stretches of lines
      → contours         outlines strong, creases fine, whatever made them
      → fold_picture     one recording; ``tutorial_pictures`` says which steps have one

A thing to be shown is a plain record in mm (``camera``); where it lies is
worked out in ``solid_builder``; no picture asks how it was folded. Layers in
one plane are told apart by ``lift``, which moves nothing.

The fold slider shows the same shapes without pictures:

    folding/kinematics, bending/motion   angles on the way, loops kept closed; a bent sheet as a moving mesh
      → slider_data      panels, the tree they hang in, angles at places of the way, ribbons: plain numbers
      → website/slider   one JSON file a tutorial, named for its content (at most 40 kB compressed)
      → theme/js/fold-shape   folds it: place → points, triangles, lines
      → theme/js/fold-draw    a depth buffer of its own on a canvas, so nothing need be sorted
      → theme/js/fold         controls; fetches all of these when they are first used

The page has the still picture, and the canvas lies over it. Whoever changes
what the data mean, said in ``slider_data``, changes ``fold-shape.js`` too.
"""
