"""Names of files that are made of names of parts."""

from __future__ import annotations

LONGEST_NAME = 60


def stem_of(name: str) -> str:
    """The name of a part as files can have it: letters and digits of any language, else "-"."""
    kept = "".join(c if c.isalnum() else "-" for c in name)
    return "-".join(word for word in kept.split("-") if word)[:LONGEST_NAME].rstrip("-") or "part"


def folder_of(name: str, part_id: str) -> str:
    """A folder for files of a part: parts may share a name."""
    return f"{stem_of(name)}-{part_id[:8]}"
