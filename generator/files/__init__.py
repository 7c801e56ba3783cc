"""What is written is there whole, or not at all, whenever the program is killed.

``whole_file`` writes one file, ``entry_swap`` puts new entries of a folder in
the place of old ones and finishes after a kill what it had begun,
``atomic_publish`` does so with a whole site. No other room writes files.
"""
from generator.files.atomic_publish import AtomicPublish
from generator.files.entry_swap import NotWritten, write_files
from generator.files.whole_file import (
    create_file,
    error_reason,
    replace_file,
    terminate_as_interrupt,
)

__all__ = ["AtomicPublish", "NotWritten", "create_file", "error_reason", "replace_file",
           "terminate_as_interrupt", "write_files"]
