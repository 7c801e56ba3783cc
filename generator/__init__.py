"""Foldgauge: tutorials for paper boxes, whole in inches and in millimetres."""
import os

# The sums of folding are many and small. Threads of the linear algebra library only wait for each other
# there (measured: ten to twenty times slower on a busy machine), and the library asks for their number when
# it is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
