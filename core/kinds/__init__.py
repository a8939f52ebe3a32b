"""Kinds of part."""
