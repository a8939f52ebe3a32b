"""What a record says, held against the log by hand, and against what the log itself lets stand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import core
from core.records.fates import entries_of
from tests.made_up import bowl, flange, rib
from tests.records.logs import DOCUMENT, DONE, GAPS, PLANNED, SITES, THEN, a_log, a_record, stamped


@pytest.fixture(scope="module")
def record():
    return a_record()


def of(record, **wanted):
    return [r for r in record.readings if all(getattr(r, name) == value for name, value in wanted.items())]


def test_the_pass_stands_as_planned_and_as_done(record):
    first, withdrawn = record.works
    assert (first.number, first.action, first.bite, first.setting) == (1, "shrink", "heavy", "notch 4")
    assert (list(first.strokes), first.in_all) == (DONE, sum(DONE))
    assert (list(first.planned.strokes), first.planned.in_all) == (PLANNED, sum(PLANNED))
    assert (first.planned.gap_mm, first.planned.gap_sd_mm, first.planned.minutes) == (0.4, 0.1, 4.5)
    assert not first.planned.as_shown
    # From the round before it (08:00) to the last reading after it (08:45): the pass between was none.
    assert first.minutes == pytest.approx(45.0)
    assert (withdrawn.number, withdrawn.status) == (None, "withdrawn")
    assert str(withdrawn.by) == "A. Worker, 2026-03-14\u00a009:30"


def test_the_gap_after_a_pass_is_that_of_the_advice(record):
    job = core.job(DOCUMENT)
    history = core.refit(job, a_log()).gap_history_mm
    assert [work.gap_mm for work in record.works if work.number] == pytest.approx(history)


def test_every_reading_is_there_with_what_became_of_it(record):
    first = of(record, round=1)
    assert [(r.site, r.value_mm) for r in first] == [
        (i, 0.0 if gap == "touching" else gap) for i, gap in enumerate(GAPS) if gap is not None
    ]
    assert {r.gauge for r in first} == {"feeler leaves"}
    assert {str(r.stamp) for r in first} == {"A. Worker, 2026-03-14\u00a009:00"}
    # 0.05 mm steps, 0.03 repeatability, template 0.04: sqrt(0.05^2/12 + 0.03^2 + 0.04^2) = 0.0520.
    assert {round(r.sd_mm, 4) for r in first} == {0.0520}
    replaced = of(record, round=2, status="replaced")
    assert [(r.site, r.value_mm, r.instead) for r in replaced] == [(0, 0.4, "0.5 mm"), (9, 0.4, "0.45 mm")]
    assert {r.by.who for r in replaced} == {"A. Worker"}
    stands = {r.site: (r.value_mm, r.stamp.who) for r in of(record, round=2, status="counts")}
    assert len(stands) == SITES
    assert stands[0] == (0.5, "A. Worker") and stands[1] == (THEN[1], "Zoë Łęcka")
    assert [r.site for r in record.readings if r.confirmed] == [0]
    (earlier, later) = of(record, round=3)
    assert (earlier.status, earlier.gauge, earlier.instead) == ("read again", "dial", "0.1 mm")
    assert (later.status, later.value_mm, later.after) == ("counts", 0.1, 1)


def test_checks_keep_their_names_limits_and_verdicts(record):
    first, last, marks = (check for check in record.checks if check.value is not None)
    assert (first.latest, first.verdict) == (False, "not decided")
    assert (last.value, last.sd, last.unit, last.limit) == (-0.3, 0.1, "°", "at most 1.0°")
    assert (last.latest, last.verdict) == (True, "within")
    assert (marks.value, marks.sd) == ("none", None)
    assert record.signed.by == "Zoë Łęcka"
    assert record.sign_off_text == "Signed off by Zoë Łęcka, 2026-03-14 10:10"
    assert "0.50 mm is 95 % or more" in record.rule
    assert [remark.text for remark in record.remarks] == ["=HYPERLINK(1)"]


def test_work_makes_the_checks_before_it_old():
    log = a_log()[:13] + stamped([core.note("")] * 13 + [core.pass_done("shrink", [1] * SITES)])[13:]
    record = a_record(log)
    assert not any(check.latest for check in record.checks if check.value is not None)
    assert {check.verdict for check in record.checks if check.latest} == {"not read"}
    assert record.sign_off_text == "NOT SIGNED OFF"
    assert record.ahead == () or record.ahead[0].number == 3


def test_a_part_not_begun_has_its_plan_ahead_and_nothing_behind():
    record = a_record([])
    assert (record.works, record.readings) == ((), ())
    assert {(check.value, check.verdict) for check in record.checks} == {(None, "not read")}
    advice = core.refit(core.job(DOCUMENT), [])
    assert [list(ahead.strokes) for ahead in record.ahead] == [p.strokes.tolist() for p in advice.remaining]
    assert [ahead.number for ahead in record.ahead] == list(range(1, len(advice.remaining) + 1))
    settings = {"light": "1.5 mm", "medium": "2.5 mm", "heavy": "notch 4"}
    assert all(ahead.setting == settings[ahead.bite] for ahead in record.ahead)


def test_a_log_that_contradicts_itself_is_on_record_without_a_verdict(monkeypatch):
    def refused(job, events):
        raise core.InputError("events", "gaps that cannot be", "check the side of the template")

    monkeypatch.setattr("core.records.record.refit", refused)
    log = [core.pass_done("shrink", [5] * SITES, bite="heavy"), core.gaps_read([5.0] * SITES)]
    record = a_record(log)
    assert (record.state, record.now, record.widest_at, record.ahead) == ("not worked out", None, None, ())
    assert "check the side of the template" in record.warnings[0]
    assert len(record.readings) == SITES and record.works[0].gap_mm is None
    assert core.record_document(record)["widest_gap_mm"] is None


def test_the_strip_before_is_the_straight_stock(record):
    """In the hollow of R 1500 the middle of a straight bar stands off by the sagitta of its outermost
    stations, 180 mm either side: R - sqrt(R^2 - c^2 / 4), any handbook."""
    shape = np.array(record.before.deviation_mm)
    sagitta = 1500.0 - (1500.0**2 - 180.0**2) ** 0.5
    assert shape.max() - shape.min() == pytest.approx(sagitta, rel=0.02)
    assert record.before.read[0] == (0, 5.0) and len(record.before.read) == 9
    assert len(record.now.read) == SITES + 1
    assert max(record.now.band_mm) > 0.0 == max(record.before.band_mm)


def test_readings_on_the_back_have_the_sign_of_a_deviation():
    log = [core.gaps_read([0.5] * SITES)]
    record = a_record(log, {**DOCUMENT, "template": "outside"})
    assert set(record.before.read) == {(i, -0.5) for i in range(SITES)}


@pytest.mark.parametrize(
    "document", [bowl(tolerance="50 mm"), flange(tolerance="50 mm")], ids=["dish", "flange"]
)
def test_other_kinds_have_the_same_record(document):
    job = core.job(document)
    n = len(job.part.sites)
    log = [core.pass_done("shrink", [2] * n), core.gaps_read([0.5] * n)]
    record = core.part_record(job, log)
    assert len(record.readings) == n and record.works[0].in_all == job.strokes_in_all("shrink", [2] * n)
    assert {fact.label for fact in record.facts} >= {"metal", "machine", "gauge", "batch"}
    assert record.site == job.part.sites.label


def test_the_batch_of_the_metal_is_on_record():
    """With the coil that was begun, where one was."""
    job = core.job({**DOCUMENT, "batch": "coil 17 B"})
    log = [{"event": "batch_begun", "note": "second coil"}]
    another = "another one begun with this part: second coil"
    for events, told in (([], ["coil 17 B"]), (log, ["coil 17 B", another])):
        found = [fact.text for fact in core.part_record(job, events).facts if fact.label == "batch"]
        assert [text.partition(" (")[0] for text in found] == told
    with pytest.raises(core.InputError) as wrong:
        core.job({**DOCUMENT, "batch": 17})
    assert wrong.value.field == "batch"


def test_arcs_and_straights_are_told_apart():
    rows = [["400 mm", "1200 mm"], ["150 mm", None], ["400 mm", "-900 mm"]]
    record = core.part_record(core.job(rib(line={"segments": rows})), [])
    (line,) = [fact.text for fact in record.facts if fact.label == "line segments"]
    assert line == "400 mm R 1200 mm; 150 mm straight; 400 mm R -900 mm"


def test_a_gauge_past_its_calibration_is_told_on_record():
    """By the day on which the check was read, 14 March."""
    document = {**DOCUMENT, "checks": ["twist"]}
    days = {"calibrated": "2025-03-14", "calibration_due": "2026-03-13"}
    log = stamped([core.check_read("twist", 0.4, unit="°", gauge="level", **days)])
    (check,) = a_record(log, document).checks
    assert check.calibration == "CALIBRATION PAST since 2026-03-13"
    held = stamped([{**log[0], "calibration_due": "2026-03-14"}])
    assert a_record(held, document).checks[0].calibration == "calibrated until 2026-03-14"
    gauge = {"name": "own rule", "step": "0.5 mm", "repeatability": "0.1 mm", "largest": "150 mm"}
    named = {**DOCUMENT, "gauge": {**gauge, "calibrated": "2026-01-15", "interval_months": 12}}
    (fact,) = [fact.text for fact in a_record([], named).facts if fact.label == "gauge"]
    assert fact.startswith("own rule, calibrated until 2027-01-15, steps of")


def test_lobes_bows_and_batches_are_on_record(record):
    lobed = core.job(bowl())
    n = len(lobed.part.sites)
    # What the gaps of this dish say is no matter here: any advice for as many sites will do.
    flat = replace(
        core.refit(core.job(DOCUMENT), a_log()),
        deviation_mm=np.zeros(n),
        deviation_sd_mm=np.ones(n),
        remaining=(),
    )
    log = [
        {"event": "batch_begun", "note": "second coil"},
        core.rim_read([0, 45, 90, 135], [380.5, 379.0, 378.5, 379.0]),
        core.heights_read([0, 90], [58.5, 60.0]),
        core.rounded("shrink", 2, 35, 3),
        core.gaps_read([0.1] * n, at_deg="90 deg"),
    ]
    record = core.part_record(lobed, log, flat)
    diameters = of(record, quantity="diameter of the rim")
    assert [(r.at_deg, r.value_mm) for r in diameters][:2] == [(0.0, 380.5), (45.0, 379.0)]
    heights = of(record, quantity="height of the rim")
    assert [(r.at_deg, r.value_mm, r.gauge) for r in heights][1:] == [(90.0, 60.0, "steel rule")]
    (step,) = record.works
    assert (step.kind, step.where, step.in_all) == (
        "step against lobes",
        "2 arcs, the middle of one at 35°",
        3,
    )
    assert {r.at_deg for r in of(record, quantity="gap")} == {90.0}
    (batch,) = [fact.text for fact in record.facts if fact.label == "batch"]
    assert "second coil" in batch
    bowed = core.part_record(core.job({**DOCUMENT, "tolerance": "50 mm"}), [core.bow_read(1.5)])
    assert [(r.quantity, r.value_mm) for r in bowed.readings] == [("bow out of plane", 1.5)]


def random_log(seed):
    """Entries, corrections and withdrawals of anything before them, also of each other."""
    rng = np.random.default_rng(seed)
    log = []
    for i in range(int(rng.integers(3, 14))):
        kind = int(rng.integers(0, 6)) if log else 0
        of_id = f"e{int(rng.integers(0, max(i, 1)))}"
        event = {
            4: {"event": "withdrawn", "of": of_id},
            5: {"event": "corrected", "of": of_id, "with": core.pass_done("stretch", [i] * SITES)},
        }.get(kind, core.pass_done("shrink", [i] * SITES))
        log.append({"id": f"e{i}", **event})
    return log


def test_what_counts_is_what_the_log_lets_stand():
    """Held against core.effective on 300 logs with undone undos and corrections of corrections."""
    for seed in range(300):
        log = random_log(seed)
        mine = sorted(
            ((e.place if e.of is None else e.of), e.event["strokes"][0]) for e in entries_of(log) if e.counts
        )
        place = {event["id"]: i for i, event in enumerate(log)}
        theirs = sorted((place[e["id"]], e["strokes"][0]) for e in core.effective(log))
        assert mine == theirs, seed


def test_a_line_of_points_is_told_point_by_point() -> None:
    offsets = [[50.0 * i, round(0.0004 * (50 * i) ** 2, 1)] for i in range(40)]
    record = core.part_record(core.job(rib(line={"offsets_mm": offsets})), [])
    first, second = [fact.text for fact in record.facts if fact.label == "line offsets, mm"]
    assert first.startswith("points 1 to 30 of 40: 0.0, 0.0; 50.0, 1.0; 100.0, 4.0; ")
    told = f"{first}; {second}".replace("points 1 to 30 of 40: ", "").replace("points 31 to 40 of 40: ", "")
    assert [[float(at) for at in point.split(", ")] for point in told.split("; ")] == offsets
    few = core.part_record(core.job(rib(line={"offsets_mm": offsets[:20]})), [])
    (line,) = [fact.text for fact in few.facts if fact.label == "line offsets, mm"]
    assert line.startswith("0.0, 0.0; 50.0, 1.0") and line.count(";") == 19


def test_a_signed_part_is_told_as_it_was_signed_with_what_came_later_beside_it():
    """Another twist, more gaps, and a reading of before withdrawn: none changes what was signed."""
    signed = a_record()
    log = stamped(
        [
            *a_log(),
            core.reopened("the customer asked"),
            core.check_read("twist", 3.0, unit="°", gauge="level", limit="at most 1.0°", sd=0.1),
            core.gaps_read([*[2.5] * (SITES - 1), "touching"]),
            core.withdrawn("e3"),
            core.corrected("e0", core.gaps_read([4.0] * SITES)),
            core.note("seen by two"),
        ]
    )
    found = a_record(log)
    named = ("works", "readings", "checks", "state", "chance", "widest_gap_mm", "before", "now", "signed")
    assert {n: getattr(found, n) for n in named} == {n: getattr(signed, n) for n in named}
    assert (signed.later, signed.ahead) == ((), ())
    texts = [one.text for one in found.later]
    assert texts[:2] == ["the part was taken up again: the customer asked", "twist: 3.0° (at most 1.0°)"]
    assert texts[2].endswith("; by station from 1: " + "2.5 mm, " * (SITES - 1) + "touching")
    assert texts[3] == "withdrawn: gaps read"
    assert texts[4] == "put right: gaps read; now gaps read; by station from 1: " + ", ".join(
        ["4 mm"] * SITES
    )
    assert [one.entry["id"] for one in found.later] == [f"e{i}" for i in range(15, 20)]
    assert found.remarks[-1].text == "seen by two"


def test_a_part_that_is_taken_up_again_has_work_ahead_again():
    log = stamped([*a_log(), core.reopened(), core.gaps_read(GAPS)])
    found, now = a_record(log), core.refit(core.job(DOCUMENT), log)
    assert [ahead.in_all for ahead in found.ahead] == [planned.total for planned in now.remaining] != []
    assert (found.state, found.chance) == (a_record().state, a_record().chance)


def test_earlier_sign_offs_stay_on_record():
    log = stamped([*a_log(), core.reopened(), core.check_read("twist", 0.2), core.signed_off("B. Worker")])
    found = a_record(log)
    assert (found.sign_off_text.partition(",")[0], found.later) == ("Signed off by B. Worker", ())
    texts = [remark.text for remark in found.remarks]
    assert texts[-2:] == ["signed off by Zoë Łęcka, with concession: @ends as agreed", "taken up again"]


def test_a_verdict_that_is_worked_out_otherwise_today_is_told_beside_that_of_the_sign_off():
    log = [*a_log()[:-1], {**a_log()[-1], "verdicts": {"gaps": "outside"}}]
    assert a_record(log).state != "outside"
    told = "Signed off with gaps outside; worked out anew from the same readings:"
    assert [text.startswith(told) for text in a_record(log).warnings][-1]


def test_every_check_of_the_job_is_on_record_read_or_not():
    """Its limits decide where nothing was written down; which parts of the set are due is told."""
    checks = ["twist", "flatness", {"name": "length", "at_most": "401 mm", "sampling": "first and last"}]
    place = {"id": "a", "part": 2, "of": 6}
    log = stamped([core.check_read("flatness", 9.2), core.check_read("joint", "tight")])
    flat, joint, twist, length = a_record(log, {**DOCUMENT, "checks": checks, "set": place}).checks
    assert (flat.value, flat.unit, flat.sd, flat.limit) == (9.2, "mm", 0.03, "at most 1.00 mm")
    assert (flat.verdict, flat.gauge, flat.label) == ("outside", "feeler leaves", "Rise off the bench plate")
    assert (joint.verdict, joint.limit) == ("not decided", "")
    assert (twist.value, twist.verdict, twist.latest) == (None, "not read", True)
    assert (length.verdict, length.limit) == ("not due", "at most 401.0 mm, first and last")


def test_sizes_are_told_in_words_and_the_place_in_the_set():
    facts = a_record([], {**DOCUMENT, "set": {"id": "a", "part": 2, "of": 6}}).facts
    told = {fact.label: fact.text for fact in facts}
    assert (told["worked flange"], told["thickness"]) == ("40 mm", "1.5 mm")
    assert told["in its set"] == "part 2 of 6" and not {"set id", "checks"} & set(told)
