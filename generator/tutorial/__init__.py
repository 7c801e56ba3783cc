"""The evaluated whole: both editions of a source, its prose with measures, and what is wrong with it."""
from generator.tutorial.load import load, load_text
from generator.tutorial.records import (
           Caution,
           ComputedValue,
           Fact,
           LoadedSource,
           MeasureWording,
           NameInfo,
           Photo,
           Prose,
           ProsePart,
           Step,
           ToolNeed,
           Tutorial,
)

__all__ = ["Caution", "Fact", "ComputedValue", "LoadedSource", "NameInfo", "ProsePart", "Photo", "Prose",
           "Step", "ToolNeed",
           "Tutorial", "MeasureWording", "load", "load_text"]
