"""Every word of the interface, in one catalogue: what is not in a source is said here."""
from __future__ import annotations

STRINGS: dict[str, str] = {
    # every page
    "skip": "Skip to the text",
    "gallery": "All tutorials",
    "menu": "Pages of this site",
    "foot": "Measured in inches and in millimetres: two plans, each whole.",
    # the units
    "units": "Measures",
    "units_in": "inches",
    "units_mm": "millimetres",
    "units_both": "both",
    # the gallery
    "gallery_empty": "No tutorial has been put on the shelf yet.",
    "revision": "revision",
    # a tutorial
    "facts": "At a glance",
    "level": "Level",
    "level_easy": "easy",
    "level_medium": "takes some practice",
    "level_hard": "takes patience",
    "time": "Time",
    "supplies": "What you need",
    "tools": "Tools",
    "instead": "instead:",
    "cautions": "Take care",
    "overview": "The paper before it is folded",
    "step": "Step",
    # files that go with it
    "files": "Templates and cutting files",
    "files_note": "For whoever lacks a tool, or wants a machine to do the work. Page 1 of every template has bars to "
                  "measure: it says whether your printer kept the size, and what to set when it did not.",
    "files_how": "How to print at true size",
    "file_mm": "Metric edition",
    "file_in": "Inch edition",
    "file_page": "1 page",
    "file_pages": "{pages} pages",
    "file_width": "comes out {width} wide",
    "file_template_inside": "Template, as seen from the inside",
    "file_template_inside_for": "print it on the plain side of the card, or lay it on top and trace it",
    "file_template_mirrored": "Template, mirrored",
    "file_template_mirrored_for": "print it on the other side, the one that will be seen",
    "file_template_ticks": "Template, prick points only",
    "file_template_ticks_for": "print it on plain paper, lay it over the card and prick through: no ink comes on the box",
    "file_bench_card": "Bench card",
    "file_bench_card_for": "everything to set and to do, for the table, with boxes to tick",
    "file_bench_card_large": "Bench card in large print",
    "file_bench_card_large_for": "the same in letters of 18 points",
    "file_bench_card_left": "Bench card for left hands",
    "file_bench_card_left_for": "the mirror image, for a board whose stop is on the right",
    "file_cutting": "Cutting file",
    "file_cutting_for": "for cutting machines and print shops: scores first, cuts within, the outline last. "
                        "Some programs change the size while importing, so check the width",
    "differ": "How the two editions differ",
    "legend": "What the lines of the picture mean",
    "credit": "Credit",
    "credit_title": "Title",
    "credit_author": "Designed by",
    "credit_source": "Source",
    "credit_licence": "Licence",
    "credit_permission": "Permission",
    "credit_changes": "Changes",
    "revision_note": "A printed copy with another mark was made from other measures.",
    "to_print": "Print view",
    "to_print_note": "everything in order, on A4 or Letter",
    "warnings": "To look at before publishing",
    # the print view
    "print_title": "to print",
    "print_now": "Print this page",
    "print_scale": "Lay a rule along this one. If the two do not agree, the page was scaled while printing; "
                   "the measures in the text still hold.",
    "to_page": "Back to the tutorial",
    "address": "Address",
    # nothing here
    "lost_title": "There is no such page",
    "lost_text": "It may have been moved, or named anew.",
}
