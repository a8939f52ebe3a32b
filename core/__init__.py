"""From template gaps to the next pass: the one public face of the core.

Inside: mm, rad, MPa, s, signs as stated where they are defined (work > 0 is done by shrinking; deviation > 0
stands outward of the template). Units are parsed here. Everything raised on purpose is a GapwrightError.

>>> job = core.job({...}); advice = core.refit(job, [core.pass_done(...), core.gaps_read([...])])
"""

from core.advice import Advice, Counter, OutOfPlane, Reseat, Response, Suspect
from core.advicedoc import advice_document
from core.angles import PROTRACTOR, angle_read, angles_read
from core.beside import asides, beside, bows
from core.calibration import Calibration
from core.charts import capability
from core.checkresults import CheckResult, bow_result, check_results, standing_against
from core.checks import CHECKS, Check, usual_checks
from core.document import JobDocument, read_document, write_document
from core.drawing.forms import DRAWING_FORMS, drawing_bytes
from core.drawing.template import Drawing, template_drawing
from core.drawing.tiling import SHEETS, tiled
from core.errors import DamagedDocument, GapwrightError, InputError, NewerDocument, ShopInUse, StoreError
from core.events import (
    Event,
    annealed,
    bow_read,
    corrected,
    counter_done,
    effective,
    gap_read,
    gaps_read,
    heights_read,
    note,
    pass_done,
    rim_read,
    rounded,
    smoothed,
    template_seated,
    withdrawn,
)
from core.forming.hardening import flow_stress_mpa
from core.heldup import run_all_the_same
from core.jobdoc import job
from core.joblog import check_event
from core.jobtypes import FINISHES, Job, RamSetting, ResponsePrior, Tool
from core.kinds.base import Part, ReadOnMeridians, Sites, TurnedEdge
from core.kinds.methods import WAYS
from core.kinds.section_document import SHAPES, WORKED_FLANGES
from core.kinds.template_edge import SIDES
from core.known import Known, Library, library_from
from core.limits import Hardened, Limit, Limits, LimitUse
from core.linefiles.errors import LINE_UNITS, UnitWanted
from core.linefiles.parts import line_as
from core.linefiles.read import LINE_FILE_FORMS, LineFile, read_line_file
from core.linefiles.shape import FileLine
from core.lobing import expected_on
from core.machine import Machine
from core.metals.metal import Figure, Metal
from core.metals.table import METALS, metals_with_own
from core.nearest import known_from_seen, known_to, nearer, nearest, starting_from
from core.originals.original import Original, original
from core.originals.two import SideBySide, side_by_side
from core.owned import Owned, owned_from
from core.plan.feed import HOLD_S
from core.planned import Pass, Smoothing, Zone
from core.printing import Fonts, card_pdf, record_pdf, set_pdf
from core.readings.gauges import GAUGES, Gauge
from core.readings.named import gauge_from, template_from
from core.readings.templates import TEMPLATES, Template
from core.records.forms import record_document, record_json, table_csv
from core.records.record import Record, part_record
from core.records.set_table import set_table
from core.records.tables import Table, record_tables
from core.refitting import refit
from core.roundness import Lobe, Lobing, RoundingStep
from core.seen import Seen, Told
from core.setplace import SetPlace
from core.sets.done import PartDone, PassRun, part_done, part_done_from
from core.sets.outlook import set_outlook, starting_from_set
from core.sets.parts import SetPart, batch_begun, set_part
from core.sets.summary import SetChart, SetSummary, set_document, set_summary
from core.signoff import SignOff, check_read, reopened, sign_off, signed_off
from core.simulate import (
    SimulatedBar,
    SimulatedDish,
    SimulatedPart,
    answering_part,
    simulated_bar,
    simulated_part,
)
from core.store import (
    Damage,
    MemoryFolder,
    PartCard,
    PartFile,
    Seals,
    Shop,
    check_seals,
    short_seal,
)
from core.stripmarks import deviation_marks, nice_top, signed_length
from core.taken import job_with_trials, trial_taken
from core.trial import Trial, trial_doubt, trial_plan, trial_read
from core.units import (
    format_about,
    format_angle,
    format_band,
    format_length,
    format_limit,
    format_share_band,
    format_with_unit,
    parse_angle_rad,
    parse_length_mm,
    parse_number,
    parse_reading_mm,
)

__all__ = [
    "CHECKS",
    "DRAWING_FORMS",
    "FINISHES",
    "GAUGES",
    "HOLD_S",
    "LINE_FILE_FORMS",
    "LINE_UNITS",
    "METALS",
    "PROTRACTOR",
    "SHAPES",
    "SHEETS",
    "SIDES",
    "TEMPLATES",
    "WAYS",
    "WORKED_FLANGES",
    "Advice",
    "Calibration",
    "Check",
    "CheckResult",
    "Counter",
    "Damage",
    "DamagedDocument",
    "Drawing",
    "Event",
    "Figure",
    "FileLine",
    "Fonts",
    "GapwrightError",
    "Gauge",
    "Hardened",
    "InputError",
    "Job",
    "JobDocument",
    "Known",
    "Library",
    "Limit",
    "LimitUse",
    "Limits",
    "LineFile",
    "Lobe",
    "Lobing",
    "Machine",
    "MemoryFolder",
    "Metal",
    "NewerDocument",
    "Original",
    "OutOfPlane",
    "Owned",
    "Part",
    "PartCard",
    "PartDone",
    "PartFile",
    "Pass",
    "PassRun",
    "RamSetting",
    "ReadOnMeridians",
    "Record",
    "Reseat",
    "Response",
    "ResponsePrior",
    "RoundingStep",
    "Seals",
    "Seen",
    "SetChart",
    "SetPart",
    "SetPlace",
    "SetSummary",
    "Shop",
    "ShopInUse",
    "SideBySide",
    "SignOff",
    "SimulatedBar",
    "SimulatedDish",
    "SimulatedPart",
    "Sites",
    "Smoothing",
    "StoreError",
    "Suspect",
    "Table",
    "Template",
    "Told",
    "Tool",
    "Trial",
    "TurnedEdge",
    "UnitWanted",
    "Zone",
    "advice_document",
    "angle_read",
    "angles_read",
    "annealed",
    "answering_part",
    "asides",
    "batch_begun",
    "beside",
    "bow_read",
    "bow_result",
    "bows",
    "capability",
    "card_pdf",
    "check_event",
    "check_read",
    "check_results",
    "check_seals",
    "corrected",
    "counter_done",
    "deviation_marks",
    "drawing_bytes",
    "effective",
    "expected_on",
    "flow_stress_mpa",
    "format_about",
    "format_angle",
    "format_band",
    "format_length",
    "format_limit",
    "format_share_band",
    "format_with_unit",
    "gap_read",
    "gaps_read",
    "gauge_from",
    "heights_read",
    "job",
    "job_with_trials",
    "known_from_seen",
    "known_to",
    "library_from",
    "line_as",
    "metals_with_own",
    "nearer",
    "nearest",
    "nice_top",
    "note",
    "original",
    "owned_from",
    "parse_angle_rad",
    "parse_length_mm",
    "parse_number",
    "parse_reading_mm",
    "part_done",
    "part_done_from",
    "part_record",
    "pass_done",
    "read_document",
    "read_line_file",
    "record_document",
    "record_json",
    "record_pdf",
    "record_tables",
    "refit",
    "reopened",
    "rim_read",
    "rounded",
    "run_all_the_same",
    "set_document",
    "set_outlook",
    "set_part",
    "set_pdf",
    "set_summary",
    "set_table",
    "short_seal",
    "side_by_side",
    "sign_off",
    "signed_length",
    "signed_off",
    "simulated_bar",
    "simulated_part",
    "smoothed",
    "standing_against",
    "starting_from",
    "starting_from_set",
    "table_csv",
    "template_drawing",
    "template_from",
    "template_seated",
    "tiled",
    "trial_doubt",
    "trial_plan",
    "trial_read",
    "trial_taken",
    "usual_checks",
    "withdrawn",
    "write_document",
]
