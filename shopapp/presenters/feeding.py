"""How a zone is fed, and what changes of tool take, in words."""

from __future__ import annotations

import core
from shopapp.presenters import wording


def fed(zone: core.Zone) -> str:
    """How a zone is fed: "12 mm/s", "12 mm/s, 3 goes", "standing", "standing, over 4 spots"."""
    if zone.standing:
        return f"standing{f', over {zone.spots} spots' if zone.spots > 1 else ''}"
    return f"{wording.feed(zone.feed_mm_per_s)}{f', {zone.goes} goes' if zone.goes > 1 else ''}"


def fed_short(zone: core.Zone) -> str:
    """The same where the unit stands beside it: "12", "12 ×3", "stand"."""
    if zone.standing:
        return "stand"
    goes = f" ×{zone.goes}" if zone.goes > 1 else ""
    return f"{wording.feed(zone.feed_mm_per_s).removesuffix(' mm/s')}{goes}"


def changes(advice: core.Advice) -> str:
    """The changes of tool in what is planned, behind its minutes: ", 2 tool changes (10 min) in it"."""
    if not advice.tool_changes:
        return ""
    takes = f" ({wording.minutes(advice.change_minutes)})" if advice.change_minutes > 0.0 else ""
    return f", {wording.count(advice.tool_changes, 'tool change')}{takes} in it"


def in_all(job: core.Job, advice: core.Advice) -> str:
    """What is in the minutes of the plan, behind them: changes of tool, and that more may follow where the
    plan does not end within the tolerance."""
    return f"{changes(advice)}{'; more passes may follow' if more_may_follow(job, advice) else ''}"


def more_may_follow(job: core.Job, advice: core.Advice) -> bool:
    """Whether the plan ends outside the tolerance, so that its minutes are those of the passes shown."""
    return bool(advice.remaining) and advice.remaining[-1].expected_gap_mm > job.tolerance_mm
