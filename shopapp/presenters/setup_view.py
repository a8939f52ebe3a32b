"""What the Set-up screen shows of a draft: fields of the open step, the line, the plan in short."""

from __future__ import annotations

import re

import core
from shopapp.presenters import (
    mistakes,
    outlines,
    pictures,
    setup_checks,
    setup_draft,
    setup_fields,
    setup_keys,
    setup_machine,
    setup_preview,
    setup_rows,
    setup_sets,
    wording,
    worked_side,
)
from shopapp.presenters.complaints import Checked
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.responses import Start
from shopapp.presenters.session import Fitted
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import CHECKS, SWEEP_NAME, Field
from shopapp.presenters.setup_kinds import KIND, steps
from shopapp.presenters.views import FieldView, SetupView

LONG = "{} rows, too many to show one by one."
GOVERNING = ("kind", "form", "shape", "flanges", "spacing", "tools", setup_sets.MORE, "machines")
"""choices that decide which fields there are"""


def draw(
    draft: Draft,
    step: str,
    checked: Checked,
    shown: set[str] | None,
    plan: Fitted | None,
    begun: Start | None,
    problem: str,
    owned: core.Owned,
    go: str,
) -> SetupView:
    """The view. shown : fields whose complaints may be shown, None for all; plan : None while unknown;
    begun : the job with what it starts from, on the plan of a form that is right, else None; owned : by the
    shop"""
    found = _complaints(draft, checked, shown)
    table, owns = setup_draft.table_of(draft, step), setup_sets.of_the_shop(draft, owned)
    rows = None if table is None or _part(table.name) in owns else setup_rows.table_view(draft, table, found)
    typed = tuple(
        setup_rows.field_view(draft, spec, found)
        for spec in _fields(draft, step)
        if _part(spec.name) not in owns
    )
    line, named = _good(checked, draft), steps(draft.kind)
    pictured = step in pictures.STEPS
    ready = not checked.complaints
    busy = "Working out the plan …" if step == "plan" and ready and plan is None else ""
    return SetupView(
        header=Header(f"New part: {named[step].lower()}", unit="", back="bench"),
        steps=tuple(_step_key(name, text, step, draft, found) for name, text in named.items()),
        title=named[step],
        fields=_in_order(typed, _choices(draft, step, found, owned)),
        table=rows,
        outline=None if line is None or pictured else outlines.with_worked_edge(line),
        pictures=pictures.of_step(step, checked),
        line_text=""
        if pictured
        else _no_line(checked, draft)
        if line is None
        else setup_preview.line_text(line),
        side_text=setup_sets.told(draft, step) if step in owns else _said(draft, line, step),
        preview=setup_preview.facts(plan) if step == "plan" and ready else (),
        complaints=_elsewhere(found, draft, step) + ((problem,) if problem else ()) + owned.left_out,
        warnings=tuple(map(wording.capital, checked.job.warnings)) if checked.job and ready else (),
        keys=setup_keys.keys(draft, step, begun, owned),
        start_from=() if begun is None else (*begun.job.choice, *begun.sentences),
        busy=busy,
        go=go,
    )


def _part(field: str) -> str:
    """The part of the document that a field or a table fills."""
    return field.partition(".")[0]


def _good(checked: Checked, draft: Draft) -> core.Job | None:
    """The job, when the line of its document is right."""
    return checked.job if checked.right(*_line_parts(draft)) else None


def _line_parts(draft: Draft) -> set[str]:
    """Parts of the document that the line is in."""
    return {_part(name) for name in draft.form.names}


def _no_line(checked: Checked, draft: Draft) -> str:
    """Why no line is drawn."""
    named, parts = steps(draft.kind), tuple(_line_parts(draft))
    if any(field.startswith(parts) for field in checked.waiting):
        return (
            f"Drawn once the step “{named['section']}” is filled in: whether so tight a line can be made"
            " hangs on that"
        )
    return "No line can be drawn yet"


def _in_order(fields: tuple[FieldView, ...], choices: tuple[FieldView, ...]) -> tuple[FieldView, ...]:
    """What governs others before them: the choices that decide which fields there are come first."""
    first = tuple(choice for choice in choices if choice.name in GOVERNING)
    rest = tuple(choice for choice in choices if choice.name not in GOVERNING)
    after = tuple(field for field in fields if field.name == setup_fields.SWEEP.name)
    return (*first, *(field for field in fields if field not in after), *rest, *after)


def _said(draft: Draft, line: core.Job | None, step: str) -> str:
    """What helps to fill in the step."""
    if step == "checks":
        return setup_checks.HELP
    if step == "plan":
        return "" if line is None else _makes(draft, line)
    return _side_text(draft, line) if step == "line" else ""


def _side_text(draft: Draft, line: core.Job | None) -> str:
    """How to tell the worked side from what is typed, and what it makes of the bar."""
    told = draft.form.side
    if draft.form.table is not None and setup_rows.is_long(draft, draft.form.table):
        told = f"{LONG.format(len(draft.rows(draft.form.table)))} {told}"
    makes = "" if line is None else _makes(draft, line)
    return f"{told} {makes}".strip()


def _makes(draft: Draft, line: core.Job) -> str:
    kind = draft.kind
    return worked_side.sentence(line, kind.ways, kind.several, kind.where)


def field_names(draft: Draft, step: str) -> set[str]:
    """Names of all fields of a step, cells of its table among them."""
    table = setup_draft.table_of(draft, step)
    cells = set() if table is None else {name for row in setup_rows.cells(draft, table) for name in row}
    whole = set() if table is None else {table.name}
    return {spec.name for spec in _fields(draft, step)} | cells | whole | set(_choice_names(draft, step))


def _fields(draft: Draft, step: str) -> tuple[Field, ...]:
    pitch = () if draft.given_stations else (draft.kind.pitch,)
    by_step: dict[str, tuple[Field, ...]] = {
        "job": (setup_fields.NAME,),
        "line": draft.form.fields,
        "section": draft.body,
        "tool": setup_fields.TOOL,
        "machine": setup_fields.MACHINE,
        "stations": (*pitch, setup_fields.TOLERANCE),
        "checks": (*setup_fields.PLACE, setup_fields.BATCH),
    }
    sweep = (setup_fields.SWEEP,) if step == "stations" and draft.template == SWEEP_NAME else ()
    return by_step.get(step, ()) + sweep


def _choice_names(draft: Draft, step: str, owned: core.Owned | None = None) -> tuple[str, ...]:
    spacing = ("spacing",) if any(name in draft.kept for name in setup_draft.STATIONS) else ()
    sets, machines = (
        (kind,) if owned is not None and getattr(owned, kind) else () for kind in setup_sets.SETS
    )
    if owned is not None and _others(draft, owned):
        sets = (*sets, setup_sets.MORE)
    return {
        "job": (KIND.name,),
        "line": ("form",) if len(draft.kind.forms) > 1 else (),
        "tool": sets,
        "machine": machines,
        "section": (*(choice.name for choice in draft.choices_of_kind), "material", "finish"),
        "stations": (*spacing, "template", "gauge"),
    }.get(step, ())


def _others(draft: Draft, owned: core.Owned) -> dict[str, str]:
    """Tool sets that may lie ready besides the one in the form."""
    names = (*owned.tools, *setup_sets.more_names(draft))
    return {name: name for name in names if name != draft.choice("tools")}


def _options(draft: Draft, name: str, owned: core.Owned) -> tuple[str, dict[str, str]]:
    """Label of a choice and what there is to choose from, name -> text."""
    if name == setup_sets.MORE:
        return "Sets that lie ready too", _others(draft, owned)
    if name in setup_sets.SETS:
        return setup_keys.SET_LABELS[name], {
            "": "as typed here",
            **{key: key for key in getattr(owned, name)},
        }
    own = {key: _own(name, key) for key in draft.kept.get(name, {})}
    if name == "material":
        own |= {key: _own(name, key) for key in owned.metals}
    if name == "gauge":
        own |= {key: _own(name, key) for key in owned.gauges if owned.reads_gaps(key)}
    label, options = {
        "form": (draft.kind.given_by, {key: form.label for key, form in draft.kind.forms.items()}),
        **{choice.name: (choice.label, choice.options) for choice in (KIND, *draft.choices_of_kind)},
        "material": ("Metal", {key: key for key in core.METALS}),
        "template": ("Template", draft.kind.templates),
        "spacing": ("Stations", setup_fields.SPACINGS),
        "finish": ("Faces", {key: wording.capital(text) for key, text in core.FINISHES.items()}),
        "gauge": ("Gauge", {key: key for key in core.GAUGES}),
    }[name]
    return label, {**options, **own}


def _now(draft: Draft, name: str) -> str:
    """What is chosen."""
    return {"form": draft.form_name, "template": draft.template}.get(name, draft.choice(name))


def _own(choice: str, name: str) -> str:
    """What is the shop's or the job's own is told from what the program brings."""
    return f"{name}, own" if choice in ("material", "gauge") else name


def _choices(draft: Draft, step: str, found: dict[str, str], owned: core.Owned) -> tuple[FieldView, ...]:
    views = []
    for name in _choice_names(draft, step, owned):
        label, options = _options(draft, name, owned)
        several = name == setup_sets.MORE
        now = setup_sets.more_names(draft) if several else (_now(draft, name),)
        keys = tuple(
            Key(f"choose:{name}={value}", text, chosen=value in now) for value, text in options.items()
        )
        views.append(
            FieldView(name, label, "choice", ", ".join(now), choices=keys, complaint=found.get(name, ""))
        )
    return tuple(views)


def _complaints(draft: Draft, checked: Checked, shown: set[str] | None) -> dict[str, str]:
    """Sentence by field; only for fields that were visited, so that a blank form does not shout, and for the
    one that nothing harmless helps against."""
    out: dict[str, str] = {}
    hopeless = checked.complaints[-1:] if checked.job is None else ()
    for error in checked.complaints:
        name = _place(draft, error.field)
        if shown is None or name in shown or error in hopeless:
            out.setdefault(name, _by_label(mistakes.sentence(error), draft))
    return out


def _by_label(sentence: str, draft: Draft) -> str:
    """A complaint with other fields called as the form calls them: "“Rated thickness” is wanted with it"."""
    specs = [spec for step in steps(draft.kind) for spec in _fields(draft, step)]
    labels = {spec.name.rpartition(".")[2]: spec.label for spec in specs}
    return re.sub(r"'(\w+)'", lambda m: f"“{labels[m[1]]}”" if m[1] in labels else m[0], sentence)


def _place(draft: Draft, path: str) -> str:
    """The field of the form that a path of the document stands for."""
    check = re.match(r"checks\[(\d+)\]", path)
    if check:
        return f"{CHECKS.name}[{setup_draft.kept_rows(draft.rows(CHECKS))[int(check[1])]}][0]"
    found = re.match(r"([\w.]+?)(?:_mm)?(?:\[(\d+)\](?:\[(\d)\])?)?$", path)
    table = draft.form.table
    if found and table is not None and found[1] == table.name:
        if found[2] is None or setup_rows.is_long(draft, table):
            return table.name
        rows = setup_draft.kept_rows(draft.rows(table))
        return f"{table.name}[{rows[int(found[2])]}][{found[3] or 0}]"
    return setup_machine.place(setup_rows.bite_cell(draft, path))


def _elsewhere(found: dict[str, str], draft: Draft, step: str) -> tuple[str, ...]:
    """Complaints that stand at no field of the open step; on the plan all of them, with their step."""
    here = field_names(draft, step)
    return tuple(
        f"{_step_name(draft, name)}{sentence}"
        for name, sentence in found.items()
        if step == "plan" or name not in here
    )


def _step_name(draft: Draft, field: str) -> str:
    for step, text in steps(draft.kind).items():
        if field in field_names(draft, step):
            label = next((spec.label for spec in _fields(draft, step) if spec.name == field), "")
            short = label.partition(",")[0].lower()
            return f"{text}, {short}: " if label else f"{text}: "
    return ""


def _step_key(name: str, text: str, step: str, draft: Draft, found: dict[str, str]) -> Key:
    wrong = len(field_names(draft, name) & set(found))
    shown = f"{text} ({wrong})" if wrong else text
    return Key(
        f"step:{name}", shown, chosen=name == step, why=wording.count(wrong, "complaint") if wrong else ""
    )
