"""Target lines from files: tables of points, DXF and SVG.

Text and bytes come in, data goes out; no file is touched here.
"""
