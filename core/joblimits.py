"""The limits of one job: what is known of its metal, and what the job says itself.

A limit that nothing is known of is left out, never guessed: its strain is infinite and its source says so.
"""

from __future__ import annotations

from dataclasses import replace
from math import isnan, log, log1p
from typing import Any

from core.errors import InputError
from core.forming.cracking import edge_strain_limit
from core.forming.hardening import uniform_strain
from core.forming.wrinkling import stroke_strain_limit
from core.jobfields import Fields
from core.jobtypes import Tool
from core.kinds.sites import Sites
from core.limits import COMMON, RISK, Limit, Limits
from core.metals import Figure, Metal

EVEN_SHARE = (
    0.8  # of the uniform strain that a pass may come to: no metal is alike all over (common practice)
)
# Of ln(1 + elongation after fracture), the least that is given (common practice, no source). A strip's
# elongation has its neck in it, so that in soft metal n binds, or about as much: the least that standards ask
# for is some three quarters of what sheet has, and the even part of that three quarters as well. Hard tempers
# break soon after they neck, and n fitted to their curve says too much.
ELONGATION_SHARE = 0.8

ROLLED = "two numbers of the gauge thinner, ASTM B601, from memory, check"
# Effective strain of rolling by two of the 39 steps in which that gauge gets thinner by 92 to 1; no wider.
HALF_HARD = 2.0 / 3.0**0.5 * 2.0 * log(92.0) / 39.0

# Field of the document -> limit that it sets, and the largest strain that it may allow.
FIELDS = {
    "strain_per_pass": ("per_pass", 0.5),
    "strain_total": ("in_all", 1.0),
    "stretch_since_anneal": ("stretch_since_anneal", 1.0),
    "stretch_by_elongation": ("elongation", 1.0),
    "shrink_since_anneal": ("shrink_since_anneal", 1.0),
    "stretch_total": ("stretch_in_all", 1.0),
    "shrink_per_stroke": ("shrink_per_stroke", 0.5),
}


def limits_from(
    fields: Fields | None, metal: Metal, tool: Tool, thickness_mm: float, sites: Sites | None = None
) -> Limits:
    """What the metal's figures allow, where the job does not say other.

    fields : the job's "limits"; tool : that shrinks; thickness_mm : the least along the worked edge; sites :
    whose strain they are told of. Raises
    InputError for a value that cannot be used.
    """
    known = Limits(
        stretch_since_anneal=_even_stretching(metal, "n"),
        stretch_once_annealed=_even_stretching(metal, "n_annealed" if metal.figure("n_annealed") else "n"),
        elongation=_by_elongation(metal, "elongation", thickness_mm),
        elongation_once_annealed=_by_elongation(
            metal,
            "elongation_annealed" if metal.figure("elongation_annealed") else "elongation",
            thickness_mm,
        ),
        anneals=metal.figure("annealing") is not None,
        stretch_in_all=_cracking(metal),
        shrink_since_anneal=_half_hard(metal),
        shrink_per_stroke=folding(metal, tool, thickness_mm),
    )
    found = known if fields is None else given_limits(fields, known)
    return found if sites is None else _worded(found, sites)


def given_limits(fields: Fields, known: Limits) -> Limits:
    """These limits with those that the fields give, and where they say that they are from. Raises InputError
    for a value that cannot be used."""
    source = fields.text("source", "the job")
    own = {
        name: replace(
            getattr(known, name), strain=fields.number(key, None, 0.0, most), source=source, own=True
        )
        for key, (name, most) in FIELDS.items()
        if fields.has(key)
    }
    risk = fields.number("risk", RISK, 0.0, 0.5)
    per_pass = fields.number("strain_per_pass_risk", max(risk, known.per_pass.risk), 0.0, 0.5)
    fields.finish()
    if "stretch_since_anneal" in own:
        own["stretch_once_annealed"] = own["stretch_since_anneal"]
    if "elongation" in own:
        own["elongation_once_annealed"] = own["elongation"]
    limits = at_risk(replace(known, **own), risk, per_pass)
    if limits.per_pass.strain > limits.in_all.strain:
        wanted = f"at most the limit in all, {limits.in_all.strain:g}, is wanted"
        raise InputError(fields.path("strain_per_pass"), limits.per_pass.strain, wanted)
    return limits


def _worded(limits: Limits, sites: Sites) -> Limits:
    """The same, told of the strain that these sites have: not all of them lie at an edge."""
    if sites.strain == Sites.strain:
        return limits
    told: dict[str, Any] = {
        name: _of(limit, sites.strain) for name, limit in vars(limits).items() if isinstance(limit, Limit)
    }
    return replace(limits, **told)


def _of(limit: Limit, strain: str) -> Limit:
    texts = limit.name, limit.over
    name, over = (text.replace(Sites.strain, strain).replace("the edge", "the metal") for text in texts)
    return replace(limit, name=name, over=over, short=limit.short.replace("edge", "metal"))


def at_risk(limits: Limits, risk: float, per_pass: float) -> Limits:
    """The same with this risk of going beyond what harms the metal for good, and that of one pass."""
    every = [name for name, limit in vars(limits).items() if isinstance(limit, Limit)]
    risks = {name: replace(getattr(limits, name), risk=risk) for name in every}
    return replace(limits, **risks | {"per_pass": replace(limits.per_pass, risk=per_pass)})


def _even_stretching(metal: Metal, exponent: str) -> Limit:
    """exponent : name of the figure that holds it."""
    n = metal.figure(exponent)
    if n is None:
        return Limits.stretch_since_anneal
    allowed = f"{100.0 * EVEN_SHARE:g} % is allowed"
    source = f"Considère: even up to n = {n.typical:.2f} ({n.source}), of which {allowed}"
    return replace(
        Limits.stretch_since_anneal,
        strain=EVEN_SHARE * float(uniform_strain(n.typical)),
        source=source,
        own=n.own,
    )


def _by_elongation(metal: Metal, name: str, thickness_mm: float) -> Limit:
    """name : of the figure that holds it; of a range its low end counts, of bands that of this thickness."""
    found = metal.figure(name)
    if found is None:
        return Limits.elongation
    given = found.at(thickness_mm)
    least = _least(given)
    source = (
        f"elongation after fracture: {100 * least:.3g} % ({given.source}), of whose natural "
        f"strain {100.0 * ELONGATION_SHARE:g} % is allowed ({COMMON})"
    )
    strain = ELONGATION_SHARE * log1p(least)
    return replace(Limits.elongation, strain=strain, source=source, own=given.own)


def _half_hard(metal: Metal) -> Limit:
    """Of the soft temper, also for one that an anneal makes soft: so much on top hardens it as well."""
    n = metal.figure("n_annealed") or metal.figure("n")
    if n is None:
        return Limits.shrink_since_anneal
    exhausted = float(uniform_strain(n.typical))
    why = f"n = {n.typical:.2f} ({n.source}), when no even stretch is left"
    if exhausted > HALF_HARD:
        why = f"{HALF_HARD:.2f}, which rolls soft sheet half hard ({ROLLED})"
    strain, own = EVEN_SHARE * min(exhausted, HALF_HARD), n.own and exhausted <= HALF_HARD
    source = f"{EVEN_SHARE:g} of {why}; {COMMON}"
    return replace(Limits.shrink_since_anneal, strain=strain, source=source, own=own)


def _cracking(metal: Metal) -> Limit:
    """Of a range of ratios the low end counts: they scatter widely."""
    ratio = metal.figure("hole_expansion")
    if ratio is None:
        return Limits.stretch_in_all
    least = _least(ratio)
    source = f"hole expansion of {100 * least:.3g} % ({ratio.source})"
    return replace(
        Limits.stretch_in_all, strain=-float(edge_strain_limit(least)), source=source, own=ratio.own
    )


def _least(figure: Figure) -> float:
    return figure.typical if isnan(figure.low) else figure.low


def folding(metal: Metal, tool: Tool, thickness_mm: float) -> Limit:
    """The strain of a stroke by this tool where the edge folds; thickness_mm : the least along it."""
    n = metal.figure("n")
    most = stroke_strain_limit(
        thickness_mm, tool.free_length_mm, tool.patch_depth_mm, None if n is None else n.typical
    )
    source = (
        f"buckling of soft {thickness_mm:.2g} mm sheet over {tool.free_length_mm:.3g} mm between the "
        f"gripping halves, free to {tool.patch_depth_mm:.3g} mm deep; a guard, {COMMON}"
    )
    # All that a stroke takes off the patch goes into what lies free.
    strain = float(most) * tool.free_length_mm / tool.patch_length_mm
    return replace(Limits.shrink_per_stroke, strain=strain, source=source)
