"""The command line, run in this process: what is printed where, and with which exit code."""

import copy
import io
import json
import re
import subprocess
import sys
from dataclasses import replace

import pytest

import core
from shopapp import check_command, cli, next_text, terminal
from shopapp.cli import main
from tests.made_up import LINES, rib

N = 10
SHORT = rib(line={"radius": "1500 mm", "length": "400 mm"})
# Ten stations of a bar still straight: a convex template held inside touches it at mid-length, and the gap
# at a distance u from there is the drop of a circle below its tangent, u^2 / (2 R), good to 1 % here.
STRAIGHT_MM = [round((20 + 40 * i - 200) ** 2 / 3000.0, 1) for i in range(N)]
# Strokes that take about all of the bend: 0.267 rad over ten stations at 0.7 % a stroke.
BENT = {"event": "pass_done", "action": "shrink", "bite": "heavy", "strokes": [5] * N}


@pytest.fixture
def job_file(tmp_path):
    """A file with the job of a short rib and its log: write(events, job) returns its path."""
    path = tmp_path / "rib.json"

    def write(events=(), job=SHORT, schema=1):
        path.write_text(json.dumps({"schema": schema, "job": job, "events": list(events)}), encoding="utf-8")
        return str(path)

    return write


def read_round(gaps):
    return {"event": "gaps_read", "gaps_mm": gaps, "gauge": "steel rule"}


def test_next_prints_the_pass_station_by_station(job_file, capsys):
    assert main(["next", job_file([read_round(STRAIGHT_MM)])]) == cli.FINE
    out, err = capsys.readouterr()
    assert err == ""
    assert "Shutter rib 3: outside; widest gap" in out
    assert "next pass: shrink (press together)" in out
    rows = [line.split() for line in out.splitlines() if line.strip()[:1].isdigit()]
    assert [float(row[1]) for row in rows] == [20.0 + 40.0 * i for i in range(N)]
    assert sum(int(row[2]) for row in rows) > 0
    assert "feed" in out


def test_next_names_what_the_plan_starts_from(job_file, capsys):
    """Each thing by its source; a trial that the log took up in place of one of them as well."""
    ours = "trial on an offcut of this sheet"
    theirs = "finished part Shutter rib 2, stretch"
    seen = [
        core.Seen("shrink", "medium", 6, 0.85, 0.12, ours),
        core.Seen("stretch", "light", 6, 1.1, 0.2, theirs),
    ]
    job = core.starting_from(SHORT, seen)
    assert main(["next", job_file(job=job)]) == cli.FINE
    lines = capsys.readouterr().out.splitlines()
    assert [line for line in lines if "starts from" in line] == [
        f"  starts from: {ours}",
        f"  starts from: {theirs}",
    ]
    taken = core.trial_taken(core.Seen("shrink", "medium", 4, 0.9, 0.1, "a later trial"))
    assert main(["next", job_file([taken], job=job)]) == cli.FINE
    out = capsys.readouterr().out
    assert "starts from: a later trial" in out and f"starts from: {ours}" not in out
    assert main(["next", job_file()]) == cli.FINE
    assert "starts from" not in capsys.readouterr().out


def test_next_has_the_cautions_in_a_line_before_anything_to_strike(job_file, capsys):
    assert main(["next", job_file()]) == cli.FINE
    lines = capsys.readouterr().out.splitlines()
    (caution,) = (i for i, line in enumerate(lines) if line.startswith("  cautions: "))
    assert "follow local rules and the machine's own instructions" in lines[caution]
    assert caution < next(i for i, line in enumerate(lines) if line.startswith("  next pass"))
    flat = SHORT | {
        "tolerance": "2 mm",
        "section": {"shape": "flat bar", "depth": "25 mm", "thickness": "1.5 mm"},
    }
    assert main(["next", job_file([BENT, read_round([0.1] * N)], job=flat)]) == cli.FINE
    assert "no pass is wanted" in (out := capsys.readouterr().out) and "cautions: " not in out


def test_next_as_json_says_the_same(job_file, capsys):
    file = job_file([read_round(STRAIGHT_MM), BENT, read_round([gap / 2 for gap in STRAIGHT_MM])])
    assert main(["next", file, "--json"]) == cli.FINE
    advice = json.loads(capsys.readouterr().out)
    assert main(["next", file]) == cli.FINE
    text = capsys.readouterr().out
    assert advice["verdict"] == "outside"
    following = advice["next_pass"]
    assert following["total"] == sum(following["strokes"])
    assert f"{following['total']} strokes" in text
    assert len(advice["deviation_mm"]) == N
    heavy = [r for r in advice["response"] if (r["action"], r["bite"]) == ("shrink", "heavy")]
    assert [r["known"] for r in heavy] == [True]
    (learned,) = [line for line in text.splitlines() if line.startswith("  shrink, heavy bite: ")]
    # 95 % of a normal distribution lie within 1.96 standard deviations; both are shares of the first guess.
    band = 1.96 * heavy[0]["sd"] / heavy[0]["expected"]
    assert learned.endswith(
        f": {100 * heavy[0]['ratio']:.0f} ± {100 * band:.0f} % of the first guess for 5 strokes on a spot"
    )
    assert heavy[0]["strokes"] == 5.0
    assert f"({learned.split(': ')[1]})" in " ".join(advice["reasons"])


def test_a_finished_bar_wants_no_pass(job_file, capsys):
    events = [read_round(STRAIGHT_MM), BENT, read_round([0.0] * N)]
    assert main(["next", job_file(events, job=SHORT | {"tolerance": "2 mm"})]) == cli.FINE
    out = capsys.readouterr().out
    assert "Shutter rib 3: within" in out
    assert "no pass is wanted" in out


def test_a_job_not_begun_has_a_first_pass(job_file, capsys):
    assert main(["next", job_file()]) == cli.FINE
    out = capsys.readouterr().out
    assert "not measured yet; widest gap as reckoned" in out
    # Straight stock in the hollow of R 1500: the sagitta over the outermost stations, 360 mm apart
    # (R - sqrt(R^2 - c^2 / 4), any handbook).
    reckoned = float(re.search(r"as reckoned ([\d.]+)", out)[1])
    assert reckoned == pytest.approx(1500 - (1500**2 - 180**2) ** 0.5, rel=0.02)


def test_what_is_assumed_and_what_comes_unasked_is_said(job_file, capsys):
    assert main(["next", job_file()]) == cli.FINE
    out = capsys.readouterr().out
    assert "makes 120 strokes a minute (assumed: the tool's own rate is not said):" in out
    bow = r"[\d.]+ ± [\d.]+ mm away from the upright flange"
    wide = r"cannot be foretold, 0 to [\d.]+ mm away from the upright flange: read it"
    after, end = (f"(?:{bow}|{wide}) {when}" for when in ("after the next pass", "at the end of the plan"))
    assert re.search(rf"bow out of plane \(.*\): {after}; {end}", out)
    assert "twist" not in out  # of an angle there is none
    assert re.search(rf"; bow (?:{bow}|{wide})\n", out)
    own = copy.deepcopy(SHORT)
    own["tool"]["strokes_per_minute"] = 60
    assert main(["next", job_file([BENT], job=own)]) == cli.FINE
    out = capsys.readouterr().out
    assert "makes 60 strokes a minute:" in out
    assert re.search(rf"bow .*: (?:{bow}|{wide}) by now; {after}", out)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            {"segments": [["400 mm", "1500 mm"], ["200 mm", None], ["400 mm", "-900 mm"]]},
            "to get shorter at stations 1 to 10, longer at stations 16 to 25",
        ),
        ({"radius": "-1500 mm", "length": "400 mm"}, "to get longer at stations 1 to 10"),
        (
            {"segments": [["40 mm", "1500 mm"], ["80 mm", None], ["80 mm", "1500 mm"]]},
            "to get shorter at stations 1, 4 to 5",
        ),
    ],
)
def test_where_the_edge_gets_shorter_and_where_longer_is_said_before_the_first_pass(
    job_file, capsys, line, says
):
    """By the turns of the drawing alone: left of the line lies the worked edge, inside a left turn."""
    job = copy.deepcopy(SHORT) | {"line": line}
    assert main(["next", job_file(job=job)]) == cli.FINE
    (told,) = [row for row in capsys.readouterr().out.splitlines() if "worked edge is" in row]
    assert told.endswith(says)
    done = BENT | {"strokes": [1] * len(core.job(job).part.sites)}
    assert main(["next", job_file([done], job=job)]) == cli.FINE
    assert "worked edge is" not in capsys.readouterr().out


def test_ram_setting_and_minutes_are_said(job_file, capsys):
    settings = dict.fromkeys(("light", "medium", "heavy"), "notch 3")
    assert cli.main(["next", job_file([], rib(tool__settings=settings, tolerance="1 mm"))]) == cli.FINE
    out = capsys.readouterr().out
    assert re.search(r"ram setting of the \w+ bite: notch 3\n", out)
    assert re.search(r"with its gaps it takes about \d+ min, anneals not counted\n", out)
    assert re.search(r"all of this takes about \d+ min, no tool change in it, anneals not counted\n", out)
    assert (
        cli.main(["next", job_file([], rib(line={"radius": "120 mm", "length": "200 mm"}, pitch="20 mm"))])
        == cli.FINE
    )
    assert "anneals not counted; more passes may follow\n" in capsys.readouterr().out


def test_tool_changes_and_smoothing_are_said(job_file, capsys):
    """An S-bar worked with two sets, to stay in sight: 4 strokes on 40 mm at 30 mm/s are 180 a minute."""
    other = {**rib()["tool"], "name": "spreader", "actions": ["stretch"], "face": "smooth"}
    first = {"tool__actions": ["shrink"], "tool__name": "jaws", "tool__face": "smooth"}
    machine = {"stroke_rates": [60, 240], "feeds": ["10 mm/s", "30 mm/s"]}
    job = rib(line=LINES["segments"], more_tools=[other], finish="visible", machine=machine, **first)
    assert cli.main(["next", job_file([], job)]) == cli.FINE
    out = capsys.readouterr().out
    assert re.search(r"smoothing at the end, as planned now: light bite, 100 strokes, 180 strokes a min", out)
    assert re.search(r"takes about \d+ min, \d tool changes? \(\d+ min\) in it, anneals not counted\n", out)


def test_how_to_seat_the_template_is_said_with_its_directions(monkeypatch, job_file, capsys):
    """0.002 rad over the bar of 400 mm are 0.8 mm at its far end."""
    real = core.refit

    def badly_seated(*given):
        return replace(real(*given), reseat=core.Reseat(0.4, -0.002, 0.31))

    monkeypatch.setattr(core, "refit", badly_seated)
    assert main(["next", job_file([read_round(STRAIGHT_MM)])]) == cli.FINE
    out = capsys.readouterr().out
    assert "0.40 mm outward at mid-length and the far end 0.80 mm inward against the near end" in out


def test_chances_promise_no_more_than_is_known(job_file, capsys):
    assert main(["next", job_file([read_round(STRAIGHT_MM)])]) == cli.FINE
    assert "chance of being within less than 1 %" in capsys.readouterr().out


def test_one_station_has_its_strokes_not_each_of_them():
    alone, several = core.Zone(3, 3, 1, 8.0, 0.5), core.Zone(3, 5, 2, 8.0, 0.5)
    assert next_text._zone(alone, "station") == "station 4: 1 stroke"
    assert next_text._zone(several, "station") == "stations 4 to 6: 2 strokes each"


def test_standard_input(job_file, capsys, monkeypatch):
    text = json.dumps({"schema": 1, "job": SHORT}).encode()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text)))
    assert main(["next", "-"]) == cli.FINE
    assert "Shutter rib 3" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("events", "changes", "says"),
    [
        (
            [read_round([0.5] * N) | {"gauge": "dial"}, {"event": "gap_read", "station": 2, "gap_mm": 6}],
            {},
            "events[1].gap_mm: 6 cannot be used; readings with feeler leaves go up to 5.00 mm; 'beyond'",
        ),
        ([], {"pitch": "2 m"}, "pitch: '2 m' cannot be used"),
        ([read_round([0.1] * (N + 1))], {}, "events[0].gaps_mm: '11 entries' cannot be used; 10 entries"),
        ([read_round([-0.1] * N)], {}, "events[0].gaps_mm[0]: -0.1 cannot be used; 0 or more"),
    ],
)
def test_bad_input_is_one_sentence_on_standard_error(job_file, capsys, events, changes, says):
    file = job_file(events, job=SHORT | changes)
    assert main(["next", file]) == cli.BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"gapwright: {file}: {says}")
    assert err.count("\n") == 1


def test_empty_newer_and_missing_files(tmp_path, job_file, capsys):
    empty = tmp_path / "empty.json"
    empty.touch()
    assert main(["next", str(empty)]) == cli.BAD_INPUT
    assert "it is empty" in capsys.readouterr().err
    newer = job_file(schema=2)
    before = (tmp_path / "rib.json").read_bytes()
    assert main(["next", newer]) == cli.BAD_INPUT
    assert "a newer one is needed" in capsys.readouterr().err
    assert (tmp_path / "rib.json").read_bytes() == before
    assert main(["next", str(tmp_path / "none.json")]) == cli.NO_FILE
    assert "none.json: no such file" in capsys.readouterr().err
    assert main(["next", str(tmp_path)]) == cli.NO_FILE
    assert "is a directory" in capsys.readouterr().err


def test_a_file_without_end_is_not_read_whole(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(terminal, "MOST_BYTES", 10)
    long = tmp_path / "long.json"
    long.write_text("[" * 11, encoding="utf-8")
    assert main(["next", str(long)]) == cli.BAD_INPUT
    assert "at most 10 bytes" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["nxet"], ["next"], ["next", "a", "b"], ["--dta", "x"], ["--data"]])
def test_wrong_use(arguments, capsys):
    assert main(arguments) == cli.USAGE
    out, err = capsys.readouterr()
    assert out == ""
    assert "usage: gapwright" in err
    assert "Traceback" not in err


def test_help_has_examples_and_exit_codes(capsys):
    assert main(["--help"]) == cli.FINE
    out = capsys.readouterr().out
    for piece in ("gapwright next rib-3.json", "gapwright demo", "gapwright rehearse", "exit codes:"):
        assert piece in out
    assert main(["next", "--help"]) == cli.FINE
    assert '{"schema": 1' in capsys.readouterr().out


def test_version(capsys):
    assert main(["--version"]) == cli.FINE
    assert capsys.readouterr().out.startswith("gapwright ")


def test_app_demo_and_rehearsal_get_their_folders(monkeypatch, tmp_path):
    started = []
    monkeypatch.setattr(cli, "_touch_app", lambda folder, demo: started.append((folder, demo)) or cli.FINE)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setattr(sys, "platform", "linux")
    assert (
        main([]) == main(["demo"]) == main(["--data", "shop"]) == main(["demo", "--data", "shop"]) == cli.FINE
    )
    assert main(["--data", "shop", "demo"]) == cli.FINE
    assert [(folder.name, demo) for folder, demo in started] == [
        ("gapwright", False),
        ("gapwright-demo", True),
        ("shop", False),
        ("shop", True),
        ("shop", True),
    ]


def test_our_own_mistakes_are_not_passed_off_as_the_users(monkeypatch, job_file):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(core, "refit", broken)
    with pytest.raises(ZeroDivisionError):
        main(["next", job_file()])


def test_stopping_from_the_keyboard(monkeypatch, job_file):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(core, "refit", stopped)
    assert main(["next", job_file()]) == cli.STOPPED


def test_help_starts_at_once_and_loads_nothing_heavy():
    """The promise is under 2 s; help needs no numbers, so it loads none of the heavy packages."""
    program = (
        "import sys; from shopapp.cli import main; main(['--help']); "
        "print([m for m in ('numpy', 'pint', 'kivy', 'tinydb') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_a_reader_that_goes_away_is_no_error(job_file):
    program = f"{sys.executable} -m shopapp next {job_file()} --json | head -c 1"
    done = subprocess.run(["bash", "-c", f"set -o pipefail; {program}"], capture_output=True, text=True)
    assert done.returncode == cli.FINE
    assert done.stderr == ""


def test_check_names_the_part_and_the_entry(tmp_path, capsys):
    with core.Shop(tmp_path) as shop:
        part = shop.open(shop.new_part(SHORT))
        part.append(core.note("begun"))
        path, document = tmp_path / "parts" / f"{part.id}.json", part.document()
    assert main(["check", "--data", str(tmp_path)]) == cli.FINE
    out = capsys.readouterr().out
    assert out.startswith(f"Shutter rib 3 ({part.id}): sealed, 1 entry with a seal, last seal ")
    assert out.endswith("1 part read, all as they were written\n")
    path.write_bytes(path.read_bytes().replace(b"begun", b"began"))
    assert main(["--data", str(tmp_path), "check"]) == check_command.NOT_AS_WRITTEN
    out = capsys.readouterr().out
    assert "Shutter rib 3" in out and "  Entry 1, note of " in out and "was changed" in out
    plain = tmp_path / "plain.json"
    plain.write_text(json.dumps(document), encoding="utf-8")
    assert main(["check", str(plain)]) == cli.FINE
    assert capsys.readouterr().out.startswith(f"{plain}: sealed, 1 entry with")
    plain.write_text(json.dumps({"job": SHORT, "events": [core.note("x")]}), encoding="utf-8")
    assert main(["check", str(plain)]) == cli.FINE
    assert "not sealed" in capsys.readouterr().out
    assert main(["check", "--data", str(tmp_path / "nowhere")]) == cli.NO_FILE


def test_a_single_stroke_has_no_feed():
    assert next_text._fed(core.Zone(3, 3, 1, 100.0, 0.5), "station") == "  station 4: 1 stroke"
    assert "feed 50.0 mm/s" in next_text._fed(core.Zone(3, 4, 1, 50.0, 1.0), "station")
