"""The picture of a step: what lies on the table, its measures, symbols and words."""
