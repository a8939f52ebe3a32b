"""The template of a part as a drawing in its true size, and that drawing as SVG, DXF and PDF.

Text and bytes go out; no file is touched here.
"""
