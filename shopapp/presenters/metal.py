"""A metal's figures: each with its range, its unit and where it is from; annealing; what to watch for."""

from __future__ import annotations

import core
from shopapp.presenters import metal_picture, metal_words, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.metal_views import FigureRow, MetalView
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session


class MetalPresenter(Presenter[MetalView]):
    """Keys: back, own (while a job is set up)."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches = {"back": lambda _: self._back(), "own": self._own}

    def view(self, go: str = "") -> MetalView:
        """All that is known of the metal of the job being set up, or of the open part."""
        job, setting_up = self._job(), self.session.metal_of is not None
        place = "set-up" if setting_up else "part"
        own = (Key("own", "Own figures", why="put the shop's own in their place"),) if setting_up else ()
        return MetalView(
            header=Header(wording.capital(job.metal.name), unit="", back=self._back()),
            also=_also(job.metal),
            picture=metal_picture.picture(job, part_known=not setting_up),
            rows=rows(job, None if setting_up else self.session.advice),
            watch=job.metal.watch,
            keys=(Key("back", f"Back to the {place}", main=True), *own),
            complaint=self.complaint,
            go=go,
        )

    def _own(self, _: str) -> str:
        self.session.metal_back = "metal"
        return "own_metal"

    def _job(self) -> core.Job:
        return self.session.metal_of or self.session.job

    def _back(self) -> str:
        return "part" if self.session.metal_of is None else "setup"


def rows(job: core.Job, advice: core.Advice | None = None) -> tuple[FigureRow, ...]:
    """Every figure, but for what an anneal makes no other; after the annealing how it is done; then the
    limits, and what the part could reach within them; what is not known together at the end. advice : of the
    part, None while it is set up"""
    metal = job.metal
    figures = (
        _row(metal, name, thinnest_mm(job))
        for name in metal_words.NAMES
        if metal.figure(name) or not name.endswith("_annealed")
    )
    reach = () if advice is None else wording.reach(advice)
    found = (*figures, *_limits(job), *(FigureRow(label, size, tail) for label, size, tail in reach))
    bare = [row.label for row in found if row.value == metal_words.UNKNOWN and not row.tail]
    unknown = (FigureRow("Not known", "", "; ".join(bare)),) if bare else ()
    return (*(row for row in found if row.label not in bare), *unknown)


def thinnest_mm(job: core.Job) -> float:
    """Of the worked edge, before any stroke."""
    return float(job.part.thickness_mm(0.0 * job.part.target).min())


def _row(metal: core.Metal, name: str, thickness_mm: float) -> FigureRow:
    """That of metal so thick."""
    given = metal.figure(name)
    figure = None if given is None else given.at(thickness_mm)
    label = metal_words.NAMES[name]
    if figure is None and name in metal.none_given:
        return FigureRow(label, metal_words.NONE_GIVEN, wording.capital(metal.none_given[name]))
    if figure is None:
        return FigureRow(label, metal_words.UNKNOWN, metal.how if name == "annealing" else "")
    tail = metal_words.source(figure)
    if name == "annealing" and metal.how:
        tail = f"{wording.capital(metal.how)}. Temperature: {tail}"
    return FigureRow(label, metal_words.value(name, figure), tail)


def _limits(job: core.Job) -> tuple[FigureRow, ...]:
    """What every pass keeps, and how surely."""
    limits = job.limits
    found = (
        ("Strain in one pass", limits.per_pass),
        ("Strain in the whole job", limits.in_all),
        ("Stretch since it was soft", limits.stretch_since_anneal),
        ("Stretch by elongation", limits.elongation),
        ("Shrink until an anneal", limits.shrink_since_anneal),
        ("Stretch in all", limits.stretch_in_all),
        ("Shrinking by one stroke", limits.shrink_per_stroke),
    )
    rows = (FigureRow(label, _most(limit), _limit_source(limit)) for label, limit in found)
    label, (_, most) = job.part.sites.label, limits.of_one_pass
    kept = (
        (
            "Chance to exceed a limit",
            limits.in_all,
            f"at most, at a {label} in a pass: of all but the strain in one pass",
        ),
        (
            "Chance: strain in one pass",
            most,
            f"at most, at a {label}: of more than {most.size}; then a pass comes out less even",
        ),
    )
    return (*rows, *(FigureRow(name, f"1 in {1.0 / limit.risk:.0f}", tail) for name, limit, tail in kept))


def _most(limit: core.Limit) -> str:
    return f"to {metal_words.share(limit.strain)}" if limit.strain < float("inf") else metal_words.UNKNOWN


def _limit_source(limit: core.Limit) -> str:
    if limit.strain == float("inf"):
        return ""
    return f"given by the job or the shop itself: {limit.source}" if limit.own else limit.source


def _also(metal: core.Metal) -> str:
    """Family and other names."""
    told = [metal.family, *(f"also {name}" for name in metal.also)]
    return wording.capital(", ".join(word for word in told if word))
