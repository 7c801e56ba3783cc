"""What was published of each tutorial, kept beside its source, and how the working copy differs from it.

``snapshot`` takes down what a tutorial is as a ``state``, edition by edition and kind by kind, in short lines
of text; ``revision_files`` writes such a state as a revision, and reads all of them back with everything that
is wrong with them; ``changes`` compares two states in the words of the trade, ``unpublished`` does so in one
line; ``print_marks`` says for readers what old prints are worth, ``notice`` for mailing lists what a
publication changed; ``kept_templates`` are those of older plans; ``publication`` adds revisions. ``snapshot``
alone needs a tutorial that was worked out.
"""
