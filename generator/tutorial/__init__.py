"""The evaluated whole: both editions of a source, its prose with measures, and what is wrong with it."""
from generator.tutorial.load import load, load_text
from generator.tutorial.records import (
           Caution,
           ComputedValue,
           Fact,
           Loaded,
           MeasureWording,
           NameInfo,
           Part,
           Photo,
           Prose,
           Step,
           ToolNeed,
           Tutorial,
)
from generator.tutorial.step_pictures import overview, pictures

__all__ = ["Caution", "Fact", "ComputedValue", "Loaded", "NameInfo", "Part", "Photo", "Prose", "Step", "ToolNeed",
           "Tutorial", "MeasureWording", "load", "load_text", "overview", "pictures"]
