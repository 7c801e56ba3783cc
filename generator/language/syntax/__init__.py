"""The geometry language as text: tokens, syntax tree, parser, and what is wrong with a statement."""
