"""What nature does: one file a phenomenon, every law a pure function with SI in and SI out.

A law takes floats or arrays and broadcasts; it reads no file, knows no product and keeps no state. Its docstring
is its handbook entry: units, range, source, example. ``law.relations()`` lists them all.
"""
