"""What is made in files by a key: the record and the template of the open part, the summary of a set."""

from __future__ import annotations

import core
from shopapp.presenters import record_facts
from shopapp.presenters.pieces import Key
from shopapp.presenters.record_work import RecordWork, SetWork, TemplateWork
from shopapp.presenters.session import Session


def template_keys(session: Session) -> tuple[Key, ...]:
    """Where there is a folder for it. The template needs no advice."""
    if session.draw_template is None:
        return ()
    return (Key("template", "Draw template", why="true size, both sides: SVG, DXF, PDF"),)


def record_keys(session: Session, busy: str) -> tuple[Key, ...]:
    """Where there is a folder for it. The record waits for the advice."""
    if session.keep_record is None:
        return ()
    return (Key("record", "Write record", enabled=not busy, why="PDF, job card, tables"),)


def set_keys(session: Session) -> tuple[Key, ...]:
    """Where there is a folder for it."""
    if session.keep_set is None:
        return ()
    return (Key("write", "Write summary", why="PDF with both charts, CSV, JSON"),)


def ask_record(session: Session) -> None:
    """Ask for the record of the open part. Raises core.InputError while it cannot be written."""
    if session.keep_record is None or session.stale:
        raise core.InputError("record", None, "it is written once the part is worked out")
    work = RecordWork(
        session.part_id,
        session.job,
        session.events,
        session.advice,
        record_facts.broken(session),
        session.keep_record,
    )
    session.ask_paper(work, "Writing the record …")


def ask_template(session: Session) -> None:
    """Ask for the template of the open part. Raises core.InputError where there is no folder for it."""
    if session.draw_template is None:
        raise core.InputError("template", None, "a folder to draw it to is wanted")
    work = TemplateWork(session.part_id, session.job, session.draw_template)
    session.ask_paper(work, "Drawing the template …")


def ask_set(session: Session, job: core.Job, summary: core.SetSummary, set_id: str) -> None:
    """Ask for the summary of a set. Raises core.InputError where there is no folder for it."""
    if session.keep_set is None:
        raise core.InputError("summary", None, "a folder to write it to is wanted")
    work = SetWork(session.part_id, job, summary, set_id, session.keep_set)
    session.ask_paper(work, "Writing the summary …")
