"""What was seen on other metal, read from a document: of a job, or of an event in its log."""

from __future__ import annotations

from collections.abc import Mapping

from core.jobfields import Fields
from core.jobtypes import Tool
from core.seen import Seen

MOST_STROKES, LARGEST_RATIO = 1000.0, 20.0
SEEN_SD = (0.001, 2.0)  # no trial tells better than the first, beyond the second it tells nothing


def seen_from(fields: Fields, tools: Mapping[str, Tool]) -> Seen:
    """One thing that was seen. tools : the job's, by action. Raises InputError naming the field."""
    action = fields.choice("action", tools)
    seen = Seen(
        action=action,
        bite=fields.choice("bite", tools[action].bites),
        strokes=fields.number("strokes", None, 0.0, MOST_STROKES),
        ratio=fields.number("ratio", None, 0.0, LARGEST_RATIO),
        sd=fields.number("sd", None, *SEEN_SD),
        source=fields.text("source"),
    )
    fields.finish()
    return seen
