"""Job and log as one JSON document, and the log held against its job."""

import json

import pytest

from core.document import SCHEMA, read_document, write_document
from core.errors import InputError, NewerDocument
from core.events import annealed, corrected, gaps_read, pass_done, withdrawn
from core.jobdoc import job
from core.joblog import check_event, checked_log
from tests.made_up import RIB, rib

N = 30
STROKES = [3] * N
GAPS = [0.0, "touching", 0.35, None, "beyond"] + [0.5] * (N - 5)


def text(events=(), schema=SCHEMA, **changes):
    return json.dumps({"schema": schema, "job": RIB, "events": list(events), **changes})


def refused(document) -> InputError:
    with pytest.raises(InputError) as caught:
        read_document(document)
    return caught.value


def log_refused(event, document=RIB, before=()) -> InputError:
    with pytest.raises(InputError) as caught:
        checked_log(job(document), [*before, event])
    return caught.value


def test_what_is_written_is_read_back():
    log = [
        {**pass_done("shrink", STROKES), "id": "a", "who": "M."},
        {**gaps_read(GAPS, gauge="steel rule", template={"sweep": "30 mm"}, confirmed=[2]), "id": "b"},
        {**corrected("b", gaps_read(GAPS)), "id": "c"},
        {**withdrawn("a"), "id": "d"},
        annealed(),
    ]
    written = write_document(RIB, log)
    read = read_document(written)
    assert read.job.document == RIB
    assert list(read.events) == log
    assert read.text() == written


def test_a_document_without_events_is_a_job_not_begun():
    assert read_document(json.dumps({"schema": 1, "job": RIB})).events == ()


@pytest.mark.parametrize(
    ("document", "says"),
    [
        ("", "it is empty"),
        (b"", "it is empty"),
        ("  \n", "it is empty"),
        ('{"schema": 1,\n "job" {}}', "not JSON at line 2, column 8"),
        ("[]", "an object"),
        ('"job"', "an object"),
        ('{"schema": 1, "schema": 1}', "given twice"),
        ('{"schema": 1, "job": {"pitch_mm": NaN}}', "a finite number"),
        ('{"schema": 1, "job": {"pitch_mm": 1e999}}', "a finite number"),
        ('{"schema": 1, "job": {"pitch_mm": ' + "9" * 5000 + "}}", "too long to be one"),
        ("[" * 50_000, "nested too deep"),
        ("[" * 30 + "]" * 30, "levels of nesting"),
        (b'{"schema": 1, "job": "\xff"}', "UTF-8"),
        ('{"schema": 1, "job": {"name": "\\ud800"}}', "UTF-8"),
        ('{"job": {}}', 'schema: "schema": 1 has to stand beside "job" and "events"'),
        ('{"schema": "1", "job": {}}', "the version of the document's form"),
        ('{"schema": true, "job": {}}', "the version of the document's form"),
        ('{"schema": 1}', "job: this has to be given"),
        ('{"schema": 1, "job": "rib"}', "an object with the fields of a job"),
        ('{"schema": 1, "job": {}, "event": []}', "is 'events' meant?"),
        (text()[:-1] + ', "x": 1}', "no such field"),
    ],
)
def test_what_is_no_document_says_why_in_one_line(document, says):
    error = refused(document)
    assert says in str(error)
    assert "\n" not in str(error)


def test_a_newer_document_is_left_alone():
    error = refused(text(schema=SCHEMA + 1))
    assert isinstance(error, NewerDocument)
    assert "a newer one is needed, and nothing was changed" in str(error)


@pytest.mark.parametrize(
    ("event", "field", "says"),
    [
        (pass_done("shrink", [3] * 31), "events[0].strokes", "30 entries, one a station"),
        (pass_done("shrink", [3] * 29), "events[0].strokes", "30 entries, one a station"),
        (pass_done("shrink", [3000, *STROKES[1:]]), "events[0].strokes[0]", "at most 1000"),
        (pass_done("shrink", STROKES, bite="hevy"), "events[0].bite", "is 'heavy' meant?"),
        (gaps_read([0.1] * 31), "events[0].gaps_mm", "30 entries"),
        (gaps_read([0.1] * 7 + [-0.2] * 23), "events[0].gaps_mm[7]", "0 or more is wanted"),
        (gaps_read([0.1] * 7 + [6.0] * 23), "events[0].gaps_mm[7]", "go up to 5.00 mm; 'beyond'"),
        (gaps_read([0.1] * 7 + [6.0] * 23), "events[0].gaps_mm[7]", 'such as "gauge": "steel rule"'),
        (gaps_read([501.0] * 30, gauge="steel rule"), "events[0].gaps_mm[0]", "m; 'beyond' is wanted"),
        (gaps_read([0.1] * 30, gauge="steel ruler"), "events[0].gauge", "is 'steel rule' meant?"),
        (gaps_read([0.1] * 30, template={"sweep": "2 m"}), "events[0].template.sweep", "length of the bar"),
        (gaps_read([0.1] * 30, template={"sweep": "60 mm"}), "events[0].gaps_mm[0]", "hangs over the end"),
        (gaps_read([0.1] * 30, confirmed=[30]), "events[0].confirmed[0]", "from 0 to 29"),
        ({**gaps_read([0.1] * 30), "guage": "dial"}, "events[0].guage", "is 'gauge' meant?"),
        ({"event": "gap_read", "station": 30, "gap_mm": 0.1}, "events[0].station", "from 0 to 29"),
        ({"event": "gap_read", "station": 3, "gap_mm": 6.0}, "events[0].gap_mm", "go up to 5.00 mm"),
        ({"event": "gap_read", "station": 3, "gap_mm": "0.35"}, "events[0].gap_mm", "a number in mm"),
        ({"event": "bow_read", "bow_mm": 2.5, "bow": 1}, "events[0].bow", "no such field"),
        (withdrawn(["a"]), "events[0].of", "the id of an earlier event"),
        (withdrawn("nobody"), "events[0].of", "the id of an earlier event"),
        ({"event": "pass_undone"}, "events[0].event", "one of pass_done"),
        ({"event": "withdrawn"}, "events[0].of", "needs it"),
        ("pass", "events[0]", "an object with an 'event' field"),
    ],
)
def test_what_this_job_cannot_have_given_is_refused(event, field, says):
    error = log_refused(event)
    assert error.field == field
    assert says in str(error)


def test_signed_templates_take_gaps_of_both_signs():
    signed = rib(template="layout line", gauge="dial")
    gaps = gaps_read([-0.2] * 30)
    assert checked_log(job(signed), [gaps]) == [gaps]
    assert "cannot overlap" in str(log_refused(gaps))


def test_a_correction_is_checked_like_what_it_replaces():
    before = [{**gaps_read([0.1] * 30), "id": "a"}]
    error = log_refused(corrected("a", gaps_read([0.1] * 29)), before=before)
    assert error.field == "events[1].with.gaps_mm"
    error = log_refused({"event": "corrected", "of": "a", "with": withdrawn("a")}, before=before)
    assert error.field == "events[1].with.event"


@pytest.mark.parametrize("events", [None, 3.0, "pass", {"event": "annealed"}])
def test_a_log_is_a_list(events):
    with pytest.raises(InputError, match="a list of events"):
        checked_log(job(RIB), events)


def test_an_id_is_given_once():
    twice = {**annealed(), "id": "a"}
    assert log_refused(twice, before=[twice]).field == "events[1].id"
    assert log_refused({**annealed(), "id": 7}).field == "events[0].id"


def test_one_event_can_be_checked_before_it_is_kept():
    check_event(job(RIB), pass_done("stretch", STROKES, "light"))
    with pytest.raises(InputError, match=r"event\.bite"):
        check_event(job(RIB), pass_done("stretch", STROKES, "gentle"))
