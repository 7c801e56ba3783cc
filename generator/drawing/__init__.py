"""Pictures: one pen protocol, a recording, the step picture as front end and SVG as back end."""
from generator.drawing.legend import legend
from generator.drawing.lettering import Pair
from generator.drawing.list_row import ListRow
from generator.drawing.pen import Pen, Role, Sign, Surface
from generator.drawing.png import font as png_font
from generator.drawing.png import png as png_picture
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.samples import sample
from generator.drawing.sheet_picture import sheet_pictures
from generator.drawing.step_picture import StepPicture, overview_picture, step_pictures
from generator.drawing.stylesheet import standalone_style, stylesheet
from generator.drawing.svg import svg

__all__ = ["ListRow", "Pair", "Pen", "Recording", "RecordingPen", "Role", "Sign", "StepPicture", "Surface", "legend",
           "overview_picture", "png_font", "png_picture", "sample", "sheet_pictures", "standalone_style", "step_pictures", "stylesheet", "svg"]
