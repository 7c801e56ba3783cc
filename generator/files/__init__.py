"""What is written is there whole, or not at all, whenever the program is killed.

``whole_file`` writes one file, ``entry_swap`` puts new entries of a folder in
the place of old ones and finishes after a kill what it had begun,
``atomic_publish`` does so with a whole site. No other room writes files. ``file_cache`` keeps answers for
later runs, under names that ``program_digest`` gives to the program.
"""
from generator.files.atomic_publish import AtomicPublish
from generator.files.entry_swap import NotWritten, finish_writing, write_files
from generator.files.file_cache import STORE_FOLDER, FileCache
from generator.files.file_lock import FileLock, LockTaken
from generator.files.program_digest import code_of, code_version
from generator.files.whole_file import (
    create_file,
    error_reason,
    replace_file,
    terminate_as_interrupt,
    write_or_link,
)

__all__ = ["AtomicPublish", "FileCache", "FileLock", "LockTaken", "NotWritten", "STORE_FOLDER", "code_of",
           "code_version", "create_file", "error_reason", "finish_writing", "replace_file",
           "terminate_as_interrupt", "write_files", "write_or_link"]
