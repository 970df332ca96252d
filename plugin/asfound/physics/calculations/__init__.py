"""The calculations that can be run alone, by field of work."""

from __future__ import annotations

from collections.abc import Mapping

_NAMES: Mapping[str, str] = {
    "any_device": "missed-intermittent sister-units trend",
    "current": "current-density heating-factor isolated-power joule-heating source-impedance touch-current",
    "defibrillator": (
        "charge-time damped-sine energy-over-loads pulse-energy pulse-pair synchroniser-delay truncated-exponential"
    ),
    "devices": "agreement",
    "electrodes": (
        "capacitive-current current-squared direct-current-charge electrode-density heating-clusters "
        "lead-wavelength on-time-clusters print-area rf-share"
    ),
    "gas": (
        "alarm-audibility alarm-margin breath-traces circuit-compliance cylinder-duration gas-volume "
        "pressure-decay tube-back-pressure"
    ),
    "incubator": "held-by-control probe-excess probe-in-bath thermistor-curve thermistor-series",
    "incubator_logs": "air-recovery door-answer heat-against-height heater-duty",
    "infusion": "evaporation-blank flow-run gravimetric-flow mass-balance occlusion record-windows siphon trumpet",
    "logs": "log-completeness",
    "monitors": "alarm-chain pressure-criteria",
    "room": "body-current-range current-levels fault-pairs hazard-build-up monitor-check",
    "thermal": "contact-temperature contact-threshold skin-heating",
    "warming": "dose-of-trace skin-under-air thermal-dose uneven-wires",
}

WHERE: Mapping[str, str] = {name: module for module, names in _NAMES.items() for name in names.split()}
"""Module of each calculation by its name, so that a case loads those it names and no others. One that is not listed is
found too, by loading them all; a test asks for its line."""
