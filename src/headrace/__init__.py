"""Battery drives for machines: from the work back to the cells.

Kept tiny on purpose: importing the package costs nothing, so that ``headrace --help`` answers at once. The rooms
are imported by name: ``headrace.machine``, ``headrace.design`` ...
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
