"""Back ends: what turns a recording or pages into SVG, PNG, PDF and DXF.

A picture is made once, by a front end, which tells a pen what it draws:
primitives that carry meaning (a score, a dimension, a label), never a colour
or a dash. What a role looks like is the back end's business; measures that all
share are in ``drawing/style.py``. A new primitive of the pen needs every back
end, a box in ``recording.py``, a rule in ``stylesheet.py``, and words in the
legend where it does not explain itself.

Learnt by trying:

- svgwrite with ``debug=True``, its default, refuses ``role``, ``aria-*`` and
  ``data-*``; with ``debug=False`` it takes everything, NaN too, and rounds
  nothing. So it is wrapped once, with rounding and a refusal of what is not
  finite.
- A page of pictures is heavy through points of curves: drawn straight where
  they leave their chord by less than anybody sees the heaviest page lost a
  tenth. Fewer decimals do less, and make round holes ragged; fewer in one kind
  of line than in another make it heavier, since nothing repeats then.
- The same plan gives the same PDF only with ``deterministic_id=True`` and
  without dates, the same DXF only while
  ``ezdxf.options.write_fixed_meta_data_for_testing`` is set.
- Optional content of PDF that is switched off vanishes in poppler and in
  Chromium; pdfplumber reads it all the same, and takes no notice of clipping.
- A circle of four cubic arcs leaves a circle of 50 mm by more than 0.01 mm, so
  templates draw eight.
"""
