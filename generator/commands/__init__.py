"""The command ``foldgauge``."""
