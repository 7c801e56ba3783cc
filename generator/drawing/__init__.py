"""Pictures: one pen protocol, a recording, the step picture as front end and SVG as back end."""
from generator.drawing.backends.legend import legend, legend_sample
from generator.drawing.backends.png import font as png_font
from generator.drawing.backends.png import png as png_picture
from generator.drawing.backends.stylesheet import standalone_style, stylesheet
from generator.drawing.backends.svg import svg
from generator.drawing.lettering import DualText
from generator.drawing.pen import Pen, Role, Sign, Surface
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.steps.sheet_picture import sheet_pictures
from generator.drawing.steps.step_picture import StepPicture, overview_picture, step_pictures

__all__ = ["ListRow", "DualText", "Pen", "Recording", "RecordingPen", "Role", "Sign", "StepPicture",
           "Surface", "legend",
           "overview_picture", "png_font", "png_picture", "legend_sample", "sheet_pictures",
           "standalone_style", "step_pictures", "stylesheet", "svg"]
