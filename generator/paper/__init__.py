"""Paper and what is done to it: pieces, marks, folds, and the verbs that make them."""
