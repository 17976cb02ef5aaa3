"""What does the builder have and want; what does this file say?"""

from headrace.machine.reading import Reading, read, read_text
from headrace.machine.variants import read_variants
from headrace.machine.writing import STARTERS, edit, parts_schema, save, schema, starter

__all__ = [
    "STARTERS",
    "Reading",
    "edit",
    "parts_schema",
    "read",
    "read_text",
    "read_variants",
    "save",
    "schema",
    "starter",
]
