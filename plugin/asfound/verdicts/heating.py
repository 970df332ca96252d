"""How much heating a cluster of activations put into a contact, with the doubt that its current and its times leave."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct, field

from asfound.measure.budget import Expanded, expanded_of
from asfound.measure.show import show_measured, show_number, with_unit
from asfound.measure.units import Unit, convert, convert_difference, unit
from asfound.model.verdict import Result
from asfound.verdicts.context import Unknown
from asfound.verdicts.elsewhere import doubt_elsewhere
from asfound.verdicts.measured import Measured, SheetWork, is_open, six


class _Cluster(Struct):
    """Sums over activations: I²t and t; by instrument, what twice its standard doubt moves I²t by, and the fewest
    degrees of freedom behind it."""

    factor: Decimal = Decimal(0)
    time: Decimal = Decimal(0)
    members: list[Measured] = field(default_factory=list)
    parts: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))
    dofs: dict[str, float] = field(default_factory=dict)
    known: bool = True

    def doubt(self) -> Expanded | None:
        """Expanded doubt in A²s; None where that of a current or a time is not on record.

        GUM (JCGM 100:2008) 5.1.2: c(I) = 2 I t, c(t) = I². What one instrument adds is alike in all its readings and
        adds up as it is (5.2.2, note 1, from memory); what several add, as squares, with the effective degrees of
        freedom of G.4. Where parts of one instrument have different ones, the fewest count, as in any budget of ours.
        """
        if not (self.known and self.parts):
            return None
        return expanded_of(tuple(self.parts.values()), tuple(self.dofs[name] for name in self.parts))

    def add(self, name: str, part: float, dof: float) -> None:
        """What an instrument adds at one activation."""
        self.parts[name] += part
        self.dofs[name] = min(dof, self.dofs.get(name, math.inf))


def heating_factor(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    """Current squared times time, summed over a cluster of activations; the largest cluster speaks.

    The design figure it is held against, and the fact that clusters are what counts, are common practice. Where an
    activation has no number for its time (`>5`), or is alone in its cluster to have no current, which cluster is the
    largest is not known, and a sum without it would be too small.
    """
    ampere, second, heat = unit("A"), unit("s"), unit("A2s")
    assert ampere is not None and second is not None
    clusters: dict[str, _Cluster] = {}
    unsure: list[Measured] = []
    lacking: dict[str, Measured] = {}
    for one in work.measured:
        if one.y is None and not is_open(one):
            continue
        name = work.setting.known(one.reading, "cluster") or ""
        try:
            current = work.setting.amount(one.reading, "current", ampere)
        except Unknown:
            lacking.setdefault(name, one)  # a cluster without its current has no heating factor, and none is made up
            continue
        cluster = clusters.setdefault(name, _Cluster())
        if is_open(one):
            unsure.append(one)
        else:
            _add(cluster, work, works, one, current)
    unsure += [one for name, one in lacking.items() if name in clusters]
    if unsure:
        yield _unknown(work, clusters, unsure)
        return
    if not clusters:
        return
    name, most = max(clusters.items(), key=lambda pair: pair[1].factor)
    doubt = most.doubt()
    told = "" if doubt is not None else "; its doubt is not known, since that of the current is not on record"
    if lacking:
        names = " and ".join(sorted(lacking))
        told += f"; of {names} no current is on record, and no heating factor is worked out"
    yield Result(
        "", "heating factor", work.name, f"Heating factor, cluster {name}", Decimal(f"{most.factor:.4g}"), "A2s",
        None if doubt is None else six(doubt.U),
        tuple(dict.fromkeys(one.reading.id for one in most.members)),
        f"The cluster of activations with the largest heating factor, {name}, put {_said(most, heat)} through the pad, "
        f"in {with_unit(show_number(most.time), second)} of activation{told}.",
        None,
        tuple((f"cluster {key}", _said(one, heat))
              for key, one in sorted(clusters.items(), key=lambda pair: -pair[1].factor)[:6]),
        None if doubt is None else six(doubt.k),
        None if doubt is None or six(doubt.k) == 2.0 else six(doubt.dof),
    )  # fmt: skip


def _unknown(work: SheetWork, clusters: Mapping[str, _Cluster], unsure: Sequence[Measured]) -> Result:
    first = unsure[0].reading
    why = f'{first.id} reads "{first.value.text}"' if is_open(unsure[0]) else f"of {first.id} no current is on record"
    refs = dict.fromkeys(one.reading.id for cluster in clusters.values() for one in (*cluster.members, *unsure))
    return Result(
        "", "heating factor", work.name, "Heating factor", None, "A2s", None, tuple(refs),
        f"Which cluster of activations has the largest heating factor is not known, nor how large it is: {why}.",
    )  # fmt: skip


def _add(cluster: _Cluster, work: SheetWork, works: Mapping[str, SheetWork], one: Measured, current: Decimal) -> None:
    ampere, second = unit("A"), unit("s")
    assert ampere is not None and second is not None and one.y is not None
    on = convert(one.y, work.to, second)
    cluster.factor += current * current * on
    cluster.time += on
    cluster.members.append(one)
    of_current = doubt_elsewhere(work, works, one, "current", ampere)
    if of_current is None or one.U is None:
        cluster.known = False
        return
    cluster.add(f"current, {of_current.instrument}", 2.0 * float(current * on) * of_current.twice, of_current.dof)
    of_time = float(convert_difference(Decimal(repr(one.U)), work.to, second)) * 2.0 / one.k
    cluster.add(f"time, {work.sheet.instrument}", float(current * current) * of_time, one.dof)


def _said(cluster: _Cluster, heat: Unit | None) -> str:
    doubt = cluster.doubt()
    value = Decimal(f"{cluster.factor:.4g}")
    return with_unit(show_number(value), heat) if doubt is None else show_measured(value, doubt.U, heat, computed=True)
