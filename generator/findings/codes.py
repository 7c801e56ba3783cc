"""The list of all codes: what a finding can be, and how much it matters."""
from __future__ import annotations

from typing import NamedTuple


class Code(NamedTuple):
    """``severity`` is "error" or "warning"; ``meaning`` is one sentence."""

    severity: str
    meaning: str


CODES: dict[str, Code] = {
    # the file
    "file-unreadable": Code("error", "The source is not there, or cannot be read as UTF-8 text."),
    "file-empty": Code("error", "The source holds nothing."),
    "fence-open": Code("error", "A geometry fence is begun and never ended."),
    "fence-stray": Code("error", "A geometry fence stands before the first step, so it belongs to none."),
    "braces-open": Code("error", "A {{ is never ended with }}, or holds nothing."),
    "step-missing": Code("error", "The source has no step: no heading that starts with ##."),
    "step-untitled": Code("error", "A step has no title."),
    "photo-missing": Code("error", "A photo is named that does not lie beside the source."),
    "photo-unworded": Code("error", "A photo has no alternative text."),
    "photo-wrong": Code("error", "A photo is not what its name says, cannot be read, or is far too large."),
    # the front matter
    "photo-stale": Code("warning", "A photo shows a length that has changed since it was taken."),
    "front-missing": Code("error", "The source does not begin with front matter between two --- lines."),
    "front-broken": Code("error", "The front matter is not valid YAML."),
    "front-key": Code("error", "The front matter has a key that means nothing here."),
    "front-value": Code("error", "A front-matter value is missing or of the wrong kind."),
    "length-wrong": Code("error", "A length cannot be read, lacks its unit, or is not above nothing."),
    "edition-missing": Code("error", "An edition does not say what a named length is in its system."),
    "edition-extra": Code("error", "An edition gives a length that the design does not name."),
    # the words of a fence
    "sign-unknown": Code("error", "A sign that the language does not know."),
    "words-wrong": Code("error", "A statement or expression that does not read."),
    "too-deep": Code("error", "Brackets or signs nested deeper than a person could mean."),
    "too-much": Code("error", "A source that asks for more work than a box can need."),
    "length-in-fence": Code("error",
                            "A length typed in a fence or in an expression; it would be wrong in the other "
                            "edition."),
    # names and calls
    "name-unknown": Code("error", "A name that nothing has made."),
    "name-early": Code("error", "A name used before the statement that makes it."),
    "name-twice": Code("error", "A name made twice, or one that already means something else."),
    "call-unknown": Code("error", "A call that does not exist."),
    "call-parameter": Code("error", "A parameter that the call does not have, or has twice."),
    "call-missing": Code("error", "A call lacks something that it needs."),
    "call-kind": Code("error", "A call is given a thing of the wrong kind."),
    "call-place": Code("error", "A call that works on paper, in a place where only values are read."),
    "part-circle": Code("error", "A part uses itself, or another that uses it."),
    "attribute-unknown": Code("error", "A property that this thing does not have."),
    "select-range": Code("error", "A selection counts past the end of its group, or not from 1."),
    "group-sizes": Code("error", "Groups of unequal size stand side by side."),
    # quantities
    "units-mixed": Code("error",
                        "A length meets a number, an area or an angle where only its own kind fits."),
    "number-wrong": Code("error",
                         "A division by nothing, a root of a negative number, a result beyond all paper."),
    "length-negative": Code("error", "A length that must be above nothing and is not."),
    # paper
    "mark-off-piece": Code("error", "A mark lies outside its piece."),
    "mark-doubled": Code("error", "Two marks lie on each other."),
    "cuts-cross": Code("error", "Two cuts cross, so that a scrap would fall out."),
    "zero-length": Code("error", "A line from a point to itself, or an area of nothing."),
    "shape-wrong": Code("error", "A shape that cannot be drawn with these values."),
    "net-overlaps": Code("error", "A panel is attached where the net already lies."),
    "seam-unequal": Code("error", "Edges that are to meet are not equally long, or not free."),
    "piece-wrong": Code("error", "A call mixes things of two pieces."),
    "fold-backwards": Code("error", "A fold goes the wrong way: with it turned, everything closes."),
    "flat-layers": Code("error", "Paper folded flat is glued in another order than its folds lay it in."),
    "flap-outside": Code("error", "A flap is folded to the other side of its panel than its fellows."),
    "fold-unscored": Code("error", "A fold along something that is not a score."),
    # what the design must keep
    "expect-fails": Code("error", "A requirement of the design does not hold in an edition."),
    "editions-differ": Code("error", "The two editions do not have the same marks."),
    "edition-stale": Code("error",
                          "A length of the regauged edition lies too far from the drawn one, as after a "
                          "change of dimension."),
    "clearance-rounded": Code("warning", "A clearance of the regauged edition is rounded towards its limit."),
    "off-grid": Code("warning",
                     "A mark falls between the marks of the tool that makes it (an error in the edition that "
                     "was regauged)."),
    "measure-typed": Code("warning", "A measurement typed by hand in prose."),
    "length-unused": Code("warning", "A named length that nothing uses."),
    "step-bare": Code("warning", "A step without geometry, so without a picture of its own."),
    "translation-language": Code("error", "A translation into a language that pages have no words for."),
    "translation-steps": Code("error", "A translation has not the same steps as the tutorial."),
    "translation-geometry": Code("error", "A translation holds geometry, which is the tutorial's alone."),
    "reader-names": Code("warning", "Names that pictures show to readers are no words of their language."),
    "translation-names": Code("warning",
                              "Names that pictures show have no words in the language of a translation."),
    "credit-permission": Code("error", "A design adapted from somebody, without licence or permission."),
    # what tools and angles are given as
    "angle-wrong": Code("error", "An angle cannot be read, lacks its unit, or is more than a whole turn."),
    "bench-wrong": Code("error", "The settings of a bench name a tool or a length that cannot be used."),
    "sheet-small": Code("warning", "A blank comes out of none of the sheets that are listed."),

    # templates
    "template-pages": Code("warning",
                           "A template would take more pages than anybody sticks together, so it is not "
                           "made."),
    "template-empty": Code("warning", "There is no paper with an area to make a template of."),
    "template-letters": Code("warning", "A name or title has letters that the font of the drawings lacks."),
    # what folding finds
    "net-parts": Code("error", "Cuts part a piece into two or more."),
    "score-ends": Code("error", "A fold runs along a score that ends inside a panel."),
    "score-unfolded": Code("warning", "A score that is never folded, and is not to be kept flat."),
    "folds-contradict": Code("error",
                             "Folds round a point, or a row of them, cannot all be folded as they are told."),
    "closing-open": Code("error", "What a design says closes does not come to lie where it is said to."),
    "seam-open": Code("error", "Edges that are to meet stay apart when the box is folded."),
    "glue-apart": Code("error", "A face does not come to lie on what it is glued to."),
    "tab-sticks-out": Code("error", "A tab reaches beyond the panel it is glued to."),
    "ring-short": Code("error", "A tab closes a ring of panels that leaves one of them outside."),
    "panels-uneven": Code("warning", "One panel of a ring is a little wider or narrower than its like."),
    "glue-own": Code("error", "A tab is glued to the panel that it hangs on."),
    "tab-outside": Code("warning", "A tab is glued to the outside of a wall, where it shows."),
    "tab-narrow": Code("warning", "A tab has hardly any room for glue."),
    "floor-open": Code("warning", "The flaps of a floor leave part of it open."),
    "layers-circle": Code("error",
                          "Flaps lie under each other in a circle, so that none can be glued first."),
    "panels-collide": Code("error", "Panels pass through each other in the folded box."),
    "lid-open": Code("error", "A lid that hangs on its box does not close it."),
    "lid-loose": Code("warning", "A lid or sleeve has so much play that it falls off."),
    "lid-tight": Code("error", "A lid does not go over its base with the layers of both."),
    "sleeve-tight": Code("error", "A drawer does not go into its sleeve with the layers of both."),
    "cut-overruns": Code("warning", "A cut runs a little past the score it should stop at."),
    "hole-near-edge": Code("warning", "A hole lies closer than 3 mm to an edge, where paper tears."),
    "hole-near-fold": Code("warning",
                           "A hole lies on a score or hardly beside one, or a window runs over a fold."),
    "holes-apart": Code("error", "Openings of panels that come to lie on each other miss each other."),
    "window-uncovered": Code("error",
                             "What is glued over a window leaves some of it open, or has no border."),
    "hole-glued": Code("warning", "A hole lies where paper is glued."),
    "offcut-small": Code("warning", "A small piece does not come out of what the blanks leave of a sheet."),
    "clear-spoiled": Code("warning", "A later step works into an area that is kept clear or stamped."),
    "step-order": Code("error", "A step comes too late or too early: its paper is already glued, or not."),
    "fold-unknown": Code("error", "A measure of the folded box is asked for that folding does not know."),
    "finish-differs": Code("error", "The finished size that a design states is not that of its folded box."),
    "content-large": Code("error", "What is to go into the box does not go in."),
    "hole-unthreaded": Code("warning", "A ribbon misses some holes of a row that it goes through."),
    "tabs-overlap": Code("warning", "Two tabs come to lie on each other behind one panel."),
    "board-thick": Code("error", "A paper that is folded is too thick to fold along a score."),
    "band-short": Code("error", "A band does not go all round what it is to hold."),
    "cut-short": Code("warning", "A cut stops short of the score it should reach."),
    "ribbon-short": Code("warning", "A ribbon is shorter than its way through the holes and its bow."),
    "crown-window": Code("error", "A gathered top is too low or too high to close."),
    "dome-gap": Code("warning", "A gathered top with curved folds closes but for a gap at its centre."),
    "curve-stretches": Code("error", "Folded along these curves the paper would have to stretch."),
    "ends-open": Code("error", "The curved ends of a pouch do not close."),
    "curves-meet": Code("error", "A curve that is folded meets its neighbour, or runs out along a line."),
}
