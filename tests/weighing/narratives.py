"""What each of nine narratives says must come out, written down before the weighing was built.

The narratives are invented, and so are their figures. For each they give the status of every explanation, the strongest
level its evidence earns for the mechanism and for the reason, and what holds it there (common practice, no source: the
scale of levels is ours; its wording leans on Fed. R. Evid. 702 and NFPA 921-2014). Nothing here is taken from what the
program says.

They are the demonstration cases of the repository, below `cases/`.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]

W, R, S, U, N, C = "weakened", "ruled out", "supported", "undetermined", "not tested", "referred to clinician"


@dataclass(frozen=True, eq=False)
class Narrative:
    """One narrative.

    statuses       explanation → status
    mechanism      strongest level for how it happened; reason: for why it came to be so
    weakest        what holds the mechanism there: the kind of link and the records it names; empty where nothing does
    also           records of further links that bear no more, the ones the narrative names besides
    deciding       the record without which the mechanism would be held less strongly, and the level then; empty where
                   it cannot fall any further
    """

    name: str
    case: str
    statuses: dict[str, str]
    mechanism: str
    reason: str
    weakest: tuple[str, tuple[str, ...]]
    deciding: tuple[str, str]
    also: tuple[tuple[str, ...], ...] = ()
    root: Path = ROOT

    @property
    def folder(self) -> Path:
        """The case folder."""
        return self.root / "cases" / self.case


NARRATIVES = (
    # Over-output weakened (within 2 per cent); monitor ruled out; part contact supported; prep, pressure, another
    # path weakened; drug or disease for the clinician. Held at probable by the accounted gap of the used pad.
    Narrative(
        "d1",
        "return-pad-lesion",
        {"X-1": S, "X-2": W, "X-3": R, "X-4": W, "X-8": W, "X-9": W, "X-10": C},
        "probable",
        "undetermined",
        ("custody-accounted", ("I-4", "C-1")),
        ("S-log", "possible"),
    ),
    # Keying contradicted by the log and by 46 against 33 mL; runaway weakened; bolus ruled out (0.4 mL); siphon
    # supported; sensor or loading undetermined. That the flange was free while the pump ran, and not only when it
    # was found, is told.
    Narrative(
        "d2",
        "syringe-emptied",
        {"X-1": W, "X-2": W, "X-3": R, "X-4": S, "X-5": U, "X-6": U, "X-7": W, "X-8": C},
        "probable",
        "undetermined",
        ("only-told", ("F-11", "W-1")),
        ("S-gravity", "possible"),
    ),
    # Capacitor weakened; battery contributing possible; pads weakened (52 ohm); sync and rhythm ruled out; cable
    # supported. The shock was not lost again with unit and cable together, and the battery's part is not
    # excluded.
    Narrative(
        "d3",
        "no-shock",
        {"X-1": W, "X-2": U, "X-3": W, "X-4": R, "X-5": S, "X-6": R, "X-7": N, "X-8": N, "X-9": N},
        "probable",
        "undetermined",
        ("not-reproduced", ("X-5",)),
        ("R-flexed-1", "undetermined"),
        also=(("X-2",),),
    ),
    # Over-temperature ruled out; open hose supported; pressure, pooling, another path weakened. The blanket was
    # not impounded.
    Narrative(
        "d4",
        "warmer-calf",
        {"X-1": R, "X-2": S, "X-3": W, "X-4": W, "X-5": W, "X-6": C, "X-7": N, "X-8": N, "X-9": N},
        "probable",
        "undetermined",
        ("item-not-impounded", ("I-4",)),
        ("S-spot", "possible"),
    ),
    # Controller ruled out; probe off the skin weakened; connector supported; second heat source weakened, by the
    # thermograph and no test; fever for the clinician.
    Narrative(
        "d5",
        "incubator-probe",
        {"X-1": R, "X-2": W, "X-3": S, "X-4": W, "X-5": C, "X-6": N, "X-7": N},
        "probable",
        "undetermined",
        ("rival-only-observed", ("X-4",)),
        ("S-bath", "possible"),
    ),
    # Mains and direct current ruled out, four orders down; path through the electrodes supported; pressure or
    # tape weakened by what was seen; probe weakened (6 mA).
    Narrative(
        "d6",
        "monitor-electrodes",
        {"X-1": R, "X-2": R, "X-3": S, "X-4": W, "X-5": W, "X-6": U, "X-7": U, "X-8": U, "X-9": C},
        "probable",
        "undetermined",
        ("rival-only-observed", ("X-4",)),
        ("S-rf", "possible"),
    ),
    # Alarm, delivery and gas ruled out; limit below the pressure of the open tube supported; connector weakened;
    # noise possible.
    Narrative(
        "d7",
        "ventilator-disconnect",
        {"X-1": R, "X-2": R, "X-3": S, "X-4": R, "X-5": W, "X-6": U, "X-7": U},
        "established",
        "possible",
        ("", ()),
        ("S-open", "possible"),
    ),
    # Monitor of the supply and socket ruled out; insulation with the cord's earth supported, the current
    # reproduced; static weakened; block for the clinician. That the earth was open at that moment is told.
    Narrative(
        "d8",
        "tingle-isolated-room",
        {"X-1": R, "X-2": R, "X-3": S, "X-4": C, "X-5": W, "X-6": N, "X-7": U},
        "probable",
        "undetermined",
        ("only-told", ("F-9", "W-1")),
        ("S-body", "possible"),
    ),
    # Fluid, object and porter each possible; controller weakened (0 of 59); second panel ruled out. Three stand
    # side by side.
    Narrative(
        "d9",
        "bed-moved",
        {"X-1": U, "X-2": U, "X-3": W, "X-4": R, "X-5": U, "X-6": N},
        "undetermined",
        "undetermined",
        ("none-stands-out", ("X-1", "X-2", "X-5")),
        ("", ""),
    ),
)  # fmt: skip
