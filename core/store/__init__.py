"""The record on disk."""
