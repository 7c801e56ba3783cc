"""Folded paper in space, its pictures in perspective, and the data of the slider.

    folding/stages     the fold angles and frames after each step, and in between
      → solid_builder  panels, bent sheets, edges, ribbons in space, as records of ``camera``
        (bent_sheets, ribbons with their bows, attachments: mats on their panels, bands round the box)
      → layer_order    which of several panels that lie on each other is above
      → camera         the solid and the perspective view of it
      → projection     every part as areas of the picture that know their nearness, their side and tone
      → hidden_lines   what remains of each area without all before it; the visible stretches of lines
      → contours       outlines wide, creases narrow, whatever made them
      → fold_pictures  which steps have a picture; each as one recording with its words

What comes after ``solid_builder`` does not ask how the paper was folded.
Layers in one plane are told apart by ``lift``, which moves nothing.

The fold slider shows the same shapes without pictures:

    folding/stages, folding/bending/motion   angles in between with loops kept closed; a bent sheet as a mesh
      → slider_data          panels, the tree of their hinges, angles at places of the motion: plain numbers
      → website/slider       one JSON file a tutorial, named for its content (at most 40 kB compressed)
      → theme/js/fold-shape  folds it: place → points, triangles, lines
      → theme/js/fold-draw   a depth buffer of its own on a canvas; the light of the stills
      → theme/js/fold        controls; fetches all of these when they are first used

The page has the still picture, and the canvas lies over it. Whoever changes
what the data mean, said in ``slider_data``, changes ``fold-shape.js`` too.
"""
