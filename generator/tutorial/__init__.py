"""The evaluated whole: both editions of a source, its prose with measures, and what is wrong with it."""
from generator.tutorial.drawn import overview, pictures
from generator.tutorial.load import load, load_text
from generator.tutorial.records import (
           Caution,
           Fact,
           Inlay,
           Loaded,
           NameInfo,
           Part,
           Photo,
           Prose,
           Step,
           ToolNeed,
           Tutorial,
           Wording,
)

__all__ = ["Caution", "Fact", "Inlay", "Loaded", "NameInfo", "Part", "Photo", "Prose", "Step", "ToolNeed",
           "Tutorial", "Wording", "load", "load_text", "overview", "pictures"]
