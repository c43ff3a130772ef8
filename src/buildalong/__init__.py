"""Buildalong compiles a plain-text electronics lesson into a checked build-along.

A module imports only from floors below its own (``tests/test_architecture.py`` enforces it)::

    cli                                                      6  faces
    publish                                                  5  products
    drawing                                                  4  pictures
    lesson                                                   3  the author's source
    design   build   story                                   2  reasoning
    engine   board                                           1  physics and geometry
    circuit  parts  quantity  finding                        0  ground

The public Python API is what the packages re-export; start with :mod:`buildalong.lesson`.
"""

__version__ = "0.1.0"
