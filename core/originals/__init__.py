"""Measuring an original: from readings off a part to a line for its likes, with its uncertainty.

Data come in, data go out; no file is touched here.
"""
