"""The pictures of steps and of sheets: the paper, its measures, symbols and words."""
