"""What every shop keeps to, in memory and on disk, before and after it is opened again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest

import core.events as log
from core.errors import InputError, StoreError
from core.store import Shop, from_document

JOB = {"name": "Shutter rib 3", "kind": "section", "tolerance": "0.5 mm"}  # invented
NOTE = {"event": "note", "text": "edge filed"}


def test_a_new_shop_is_empty(place: Any) -> None:
    shop = place.settled()
    assert shop.parts() == []
    assert shop.damaged() == []
    assert shop.settings.all() == {}


def test_a_part_is_found_with_its_job_and_an_empty_log(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    shop = place.settled()
    assert [card.id for card in shop.parts()] == [part_id]
    assert shop.open(part_id).job_document == JOB
    assert shop.open(part_id).events == []


def test_the_card_tells_name_kind_times_and_length(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    place.shop.open(part_id).append(NOTE)
    (card,) = place.settled().parts()
    assert (card.name, card.kind, card.event_count) == ("Shutter rib 3", "section", 1)
    assert card.created_at == "2030-05-17T07:30:01.000000Z"
    assert card.changed_at == "2030-05-17T07:30:02.000000Z"


def test_events_are_kept_in_the_order_of_recording(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    wanted = [
        log.pass_done("shrink", [0, 3, 1]),
        log.gaps_read([0.1, None, "touching"]),
        NOTE,
        log.annealed(),
    ]
    recorded = [place.shop.open(part_id).append(event) for event in wanted * 4]
    events = place.settled().open(part_id).events
    assert events == recorded
    assert [event["event"] for event in events] == [event["event"] for event in wanted * 4]


def test_an_event_gets_id_time_offset_who_and_schema(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    place.shop.open(part_id).append(NOTE, who="M. Ortler")  # invented
    (event,) = place.settled().open(part_id).events
    assert event.pop("id")
    assert (event.pop("number"), len(event.pop("seal"))) == (1, 64)
    added = {"at": "2030-05-17T07:30:02.000000Z", "offset": "+02:00", "who": "M. Ortler", "schema": 1}
    assert event == {**NOTE, **added}


def test_ids_are_never_given_twice(place: Any) -> None:
    parts = [place.shop.new_part(JOB) for _ in range(5)]
    ids = [place.shop.open(part).append(NOTE)["id"] for part in parts for _ in range(5)]
    assert len(set(ids)) == 25
    assert len(set(parts)) == 5


@pytest.mark.parametrize(
    ("moment", "at", "offset"),
    [
        (datetime(2030, 1, 1, tzinfo=UTC), "2030-01-01T00:00:00.000000Z", "+00:00"),
        (
            datetime(2030, 1, 1, 1, 15, tzinfo=timezone(-timedelta(hours=3, minutes=30))),
            "2030-01-01T04:45:00.000000Z",
            "-03:30",
        ),
    ],
)
def test_an_event_may_have_happened_earlier(place: Any, moment: datetime, at: str, offset: str) -> None:
    part_id = place.shop.new_part(JOB)
    place.shop.open(part_id).append(NOTE, at=moment)
    (event,) = place.settled().open(part_id).events
    assert (event["at"], event["offset"]) == (at, offset)


def test_a_time_without_offset_is_refused(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    with pytest.raises(InputError, match="offset from UTC"):
        place.shop.open(part_id).append(NOTE, at=datetime(2030, 1, 1))
    assert place.settled().open(part_id).events == []


def test_undo_and_correction_leave_what_they_change(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    part = place.shop.open(part_id)
    first = part.append(log.pass_done("shrink", [1, 2]))
    second = part.append(log.pass_done("shrink", [5, 5]))
    part.append(log.withdrawn(second["id"]))
    part.append(log.corrected(first["id"], log.pass_done("stretch", [3, 4])))
    events = place.settled().open(part_id).events
    assert events[:2] == [first, second]
    (counts,) = log.effective(events)
    assert (counts["action"], counts["strokes"]) == ("stretch", [3, 4])


@pytest.mark.parametrize(
    ("event", "field"),
    [
        ({"event": "polished"}, "event.event"),
        ({"event": "note"}, "event.text"),
        ("note", "event"),
        ({"event": "note", "text": float("nan")}, "event.text"),
        ({"event": "note", "text": {1, 2}}, "event.text"),
        ({"event": "withdrawn", "of": "never recorded"}, "event.of"),
        ({**NOTE, "id": "mine"}, "event.id"),
        ({**NOTE, "at": "2030-01-01T00:00:00Z"}, "event.at"),
    ],
)
def test_what_is_no_event_is_refused_and_changes_nothing(place: Any, event: Any, field: str) -> None:
    part_id = place.shop.new_part(JOB)
    kept = place.shop.open(part_id).append(NOTE)
    with pytest.raises(InputError) as refused:
        place.shop.open(part_id).append(event)
    assert refused.value.field == field
    assert place.settled().open(part_id).events == [kept]


def test_a_correction_cannot_point_into_another_part(place: Any) -> None:
    one, other = place.shop.new_part(JOB), place.shop.new_part(JOB)
    event = place.shop.open(one).append(NOTE)
    with pytest.raises(InputError, match="of this part"):
        place.shop.open(other).append(log.withdrawn(event["id"]))


def test_the_summary_is_kept_with_the_event_or_alone(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    place.shop.open(part_id).append(NOTE, summary={"state": "in work", "widest_mm": [4.1, 2.0]})
    assert place.settled().parts()[0].summary == {"state": "in work", "widest_mm": [4.1, 2.0]}
    place.shop.open(part_id).append(NOTE)
    assert place.settled().parts()[0].summary["state"] == "in work"
    place.shop.open(part_id).set_summary({"state": "signed off"})
    assert place.settled().parts()[0].summary == {"state": "signed off"}
    assert place.shop.open(part_id).card == place.shop.parts()[0]


def test_the_part_changed_last_comes_first(place: Any) -> None:
    first, second, third = (place.shop.new_part(JOB) for _ in range(3))
    place.shop.open(first).append(NOTE)
    assert [card.id for card in place.settled().parts()] == [first, third, second]


def test_what_is_handed_out_is_a_copy(place: Any) -> None:
    job = {"name": "rib", "line": {"radius": "1500 mm"}}
    part_id = place.shop.new_part(job)
    job["line"]["radius"] = "1 mm"  # type: ignore[index]
    part = place.shop.open(part_id)
    event = {"event": "pass_done", "action": "shrink", "bite": "light", "strokes": [1, 2]}
    recorded = part.append(event, summary={"widest_mm": [1.0]})
    place.shop.settings.set("gauges", ["steel rule"])
    event["strokes"].append(99)  # type: ignore[attr-defined]
    recorded["strokes"].append(99)
    part.events[0]["strokes"].append(99)
    part.job_document["line"]["radius"] = "2 mm"
    part.card.summary["widest_mm"].append(99)
    place.shop.settings.get("gauges").append("dial")
    place.shop.settings.all()["gauges"].append("dial")
    part.append(NOTE)
    shop = place.settled()
    part = shop.open(part_id)
    assert part.events[0]["strokes"] == [1, 2]
    assert part.job_document == {"name": "rib", "line": {"radius": "1500 mm"}}
    assert part.card.summary == {"widest_mm": [1.0]}
    assert shop.settings.get("gauges") == ["steel rule"]


def test_opening_twice_gives_the_same_record(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    shop = place.settled()
    one, other = shop.open(part_id), shop.open(part_id)
    one.append(NOTE)
    assert len(other.append(NOTE)) == 9
    assert len(one.events) == 2


@pytest.mark.parametrize("part_id", ["", "none", "../settings", "settings"])
def test_a_part_that_is_not_there_is_named(place: Any, part_id: str) -> None:
    with pytest.raises(InputError, match="part of this shop"):
        place.settled().open(part_id)


def test_settings_are_kept_by_name(place: Any) -> None:
    settings = place.shop.settings
    settings.set("operator", "M. Ortler")  # invented
    settings.set("palette", "dim shop")
    settings.set("palette", "bright shop")
    settings.set("gauges", [{"kind": "feeler leaves", "step_mm": 0.05}])
    settings = place.settled().settings
    assert settings.get("palette") == "bright shop"
    assert settings.get("screen", 1.5) == 1.5
    assert settings.all() == {
        "operator": "M. Ortler",
        "palette": "bright shop",
        "gauges": [{"kind": "feeler leaves", "step_mm": 0.05}],
    }


@pytest.mark.parametrize(("name", "value"), [("", 1), (3, 1), ("screen", object()), ("screen", float("inf"))])
def test_a_setting_that_cannot_be_kept_is_refused(place: Any, name: Any, value: Any) -> None:
    place.shop.settings.set("screen", 1)
    with pytest.raises(InputError):
        place.shop.settings.set(name, value)
    assert place.settled().settings.all() == {"screen": 1}


@pytest.mark.parametrize("job", [None, [], "rib", {"name": float("nan")}, {"name": object()}])
def test_a_job_that_cannot_be_kept_is_refused(place: Any, job: Any) -> None:
    with pytest.raises(InputError) as refused:
        place.shop.new_part(job)
    assert refused.value.field.startswith("job")
    assert place.settled().parts() == []


def test_a_part_goes_out_and_comes_in_unchanged(place: Any) -> None:
    part_id = place.shop.new_part(JOB)
    event = place.shop.open(part_id).append(log.gaps_read([0.2, "beyond"]), who="M. Ortler")  # invented
    document = place.settled().open(part_id).document()
    assert document == {"schema": 1, "job": JOB, "events": [event]}
    assert from_document(document).events == [event]
    again = place.shop.import_part(document)
    assert again != part_id
    assert place.settled().open(again).document() == document


def test_an_imported_log_gets_what_it_lacks(place: Any) -> None:
    part_id = place.shop.import_part(
        {"schema": 1, "job": JOB, "events": [NOTE, {**NOTE, "id": "a", "who": "B."}]}
    )
    first, second = place.settled().open(part_id).events
    assert len(first["id"]) == 32
    assert (second["id"], second["who"]) == ("a", "B.")
    assert first["at"] == second["at"] == "2030-05-17T07:30:01.000000Z"


def test_nothing_is_recorded_after_closing(place: Any) -> None:
    part_id, other = place.shop.new_part(JOB), place.shop.new_part(JOB)
    place.settled()
    shop: Shop = place.shop
    part = shop.open(part_id)
    part.append(NOTE)
    shop.close()
    for change in (
        lambda: part.append(NOTE),
        lambda: part.set_summary({}),
        lambda: shop.settings.set("palette", "dim shop"),
        lambda: shop.new_part(JOB),
        lambda: shop.open(other).append(NOTE),
    ):
        with pytest.raises(StoreError, match="closed"):
            change()
    place.shop = Shop(place.folder)
    assert len(place.shop.open(part_id).events) == 1


def test_a_shop_is_a_context(place: Any) -> None:
    place.shop.close()
    with Shop(place.folder) as shop:
        part = shop.open(shop.new_part(JOB))
    with pytest.raises(StoreError, match="closed"):
        part.append(NOTE)
    place.shop = Shop(place.folder)


def test_text_of_any_script_and_long_logs_survive(place: Any) -> None:
    part_id = place.shop.new_part({"name": "Kuppelspant №3 – 拱"})
    for i in range(120):
        place.shop.open(part_id).append({"event": "note", "text": f"№{i}"})
    shop = place.settled()
    assert [event["text"] for event in shop.open(part_id).events] == [f"№{i}" for i in range(120)]
    assert shop.parts()[0].name == "Kuppelspant №3 – 拱"
