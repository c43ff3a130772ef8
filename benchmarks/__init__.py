"""Measurements: ``make bench`` takes all of them; each file ``area_subject.py`` is one section.

A section's docstring is its introduction; it has a ``TITLE`` and a function ``run(report)``, which
gives rows as data to :class:`benchmarks._report.Report`.  Nothing else prints or writes.
"""
