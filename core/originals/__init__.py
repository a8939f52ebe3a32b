"""Measuring an original: from readings off a part that is there to a line for its likes, with its uncertainty.

Data come in, data go out; no file is touched here.
"""
