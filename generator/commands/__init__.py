"""The command ``foldgauge``."""
VERBOSE = f"{__name__}.verbose"         # in the context: that tracebacks are asked for
