"""The checks on a folded box, one a file."""
