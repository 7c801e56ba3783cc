"""Pictures: one pen, a recording of what it was told, front ends that use it and back ends that draw."""
from generator.drawing.backends.legend import legend, legend_sample
from generator.drawing.backends.png import font as png_font
from generator.drawing.backends.png import png as png_picture
from generator.drawing.backends.stylesheet import font_faces, standalone_style, stylesheet, web_fonts
from generator.drawing.backends.svg import svg
from generator.drawing.lettering import DualText
from generator.drawing.pen import Pen, Role, Sign, Surface
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.steps.sheet_picture import sheet_pictures
from generator.drawing.steps.step_picture import StepPicture, overview_picture, step_pictures
from generator.drawing.typeface import displayed, missing_letters

__all__ = ["DualText", "ListRow", "Pen", "Recording", "RecordingPen", "Role", "Sign", "StepPicture",
           "Surface", "displayed", "font_faces", "legend", "legend_sample", "missing_letters",
           "overview_picture", "png_font", "png_picture", "sheet_pictures", "standalone_style",
           "step_pictures", "stylesheet", "svg", "web_fonts"]
