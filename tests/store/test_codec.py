"""A part as a plain document: what goes out comes in, and what is wrong is named."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError, NewerDocument
from core.store import from_document, to_document

NOTE = {"event": "note", "text": "edge filed"}
LOG = [{**NOTE, "id": "a"}, {"event": "withdrawn", "of": "a"}]
GOOD = {"schema": 1, "job": {"name": "rib"}, "events": LOG}
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)
LIKE_GOOD = st.fixed_dictionaries({"schema": st.just(1), "job": JSON, "events": st.lists(JSON, max_size=3)})


@pytest.mark.parametrize("form", [dict, json.dumps, lambda d: json.dumps(d).encode("utf-8-sig")])
def test_a_good_document_is_read_from_mapping_text_and_bytes(form: Any) -> None:
    job, events = from_document(form(GOOD))
    assert to_document(job, events) == GOOD


@pytest.mark.property
@given(st.dictionaries(st.text(), JSON, max_size=5))
def test_any_job_goes_out_and_comes_in(job: dict[str, Any]) -> None:
    document = to_document(job, [NOTE])
    assert from_document(json.dumps(document)) == (job, [NOTE])


def test_a_job_without_a_log_is_a_part_not_begun() -> None:
    assert from_document({"schema": 1, "job": {"name": "rib"}}) == ({"name": "rib"}, [])


def test_nothing_is_shared_with_the_arguments() -> None:
    job: dict[str, Any] = {"line": {"radius": "1500 mm"}}
    document = to_document(job, [])
    found = from_document(document).job
    job["line"]["radius"] = document["job"]["line"]["radius"] = "1 mm"
    assert found == {"line": {"radius": "1500 mm"}}


@pytest.mark.parametrize(
    ("document", "field"),
    [
        ("", "document"),
        ("   ", "document"),
        (b"\xff\xfe", "document"),
        ("{", "document"),
        ("[]", "document"),
        ("3", "document"),
        (None, "document"),
        ("[" * 100_000, "document"),
        ('{"schema": NaN}', "document"),
        ('{"schema": 1, "schema": 1, "job": {}, "events": []}', "document"),
        ({"job": {}, "events": []}, "schema"),
        ({**GOOD, "schema": "1"}, "schema"),
        ({**GOOD, "schema": True}, "schema"),
        ({**GOOD, "schema": 0}, "schema"),
        ({**GOOD, "parts": []}, "parts"),
        ({"schema": 1, "events": []}, "job"),
        ({**GOOD, "job": [1]}, "job"),
        ({"schema": 1, "job": {}, "events": None}, "events"),
        ({**GOOD, "events": {}}, "events"),
        ({**GOOD, "events": ["note"]}, "events[0]"),
        ({**GOOD, "events": [NOTE, {"event": "polished"}]}, "events[1].event"),
        ({**GOOD, "events": [{**NOTE, "id": ["a"]}]}, "events[0].id"),
        ({**GOOD, "events": [{**NOTE, "id": "a"}] * 2}, "events[1].id"),
        ({**GOOD, "events": [{**NOTE, "at": "yesterday"}]}, "events[0].at"),
        ({**GOOD, "events": [{**NOTE, "at": "2030-05-17T09:30:00"}]}, "events[0].at"),
        ({**GOOD, "events": [{"event": "withdrawn", "of": "b"}]}, "events[0].of"),
        ({**GOOD, "events": [{"event": "withdrawn", "of": ["b"]}]}, "events[0].of"),
        ('{"schema": 1, "job": {}, "events": [{"event": "note", "text": 1e999}]}', "events[0].text"),
    ],
)
def test_what_is_wrong_is_named(document: Any, field: str) -> None:
    with pytest.raises(InputError) as refused:
        from_document(document)
    assert refused.value.field == field


def test_corrections_nested_without_end_are_refused() -> None:
    event: dict[str, Any] = NOTE
    for _ in range(400):
        event = {"event": "corrected", "of": "a", "with": event}
    with pytest.raises(InputError):
        from_document({"schema": 1, "job": {}, "events": [event]})


@pytest.mark.parametrize(
    ("document", "field"),
    [({"schema": 2}, "schema"), ({**GOOD, "events": [{**NOTE, "schema": 3}]}, "events[0].schema")],
)
def test_a_newer_document_is_told_from_a_wrong_one(document: Any, field: str) -> None:
    with pytest.raises(NewerDocument) as newer:
        from_document(document)
    assert newer.value.field == field


@pytest.mark.property
@given(JSON | LIKE_GOOD)
def test_any_other_document_is_refused_or_read_whole(document: Any) -> None:
    try:
        found = from_document(json.dumps(document))
    except InputError as refused:
        assert str(refused)
    else:
        assert to_document(*found) == document
