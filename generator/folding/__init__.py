"""Rigid folding: flat maps, closing conditions, the state after each step, and what the folded box tells."""
