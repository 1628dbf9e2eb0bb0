"""The kit file: one TOML file that says what to make."""

from halfbat.kitfile.kit_file import KitFile
from halfbat.kitfile.reading import kit_file_from_text, read_kit_file, with_tables
from halfbat.kitfile.saving import kit_mesh, save_kit_file
from halfbat.kitfile.writing import tables_text, write_kit_file

__all__ = [
    "KitFile",
    "kit_file_from_text",
    "kit_mesh",
    "read_kit_file",
    "save_kit_file",
    "tables_text",
    "with_tables",
    "write_kit_file",
]
