"""Radiation between grey diffuse patches of a closed enclosure, solved once for all temperatures.

Irradiation H = F J + K with radiosity J = eps E + (1 - eps) H, so that

    H = (I - F rho)⁻¹ (F eps E + K) = from_emission E + from_source K
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.ranges import Array, require


@dataclass(frozen=True, eq=False)
class Enclosure:
    """`view` F (n, n), areas and emissivities (n,), and the two operators (n, n) to irradiation, W/m²."""

    view: Array
    area_m2: Array
    emissivity: Array
    from_emission: Array
    from_source: Array


def enclosure(exchange_m2: Array, area_m2: Array, emissivity: Array) -> Enclosure:
    """Solve the enclosure whose balanced exchange areas are given; emissivities in [0, 1], not all 0.

    A surface of emissivity 0 passes on all that falls on it (re-radiating, adiabatic).
    """
    require("emissivity", emissivity, "-", 0.0, 1.0)
    require("area_m2", area_m2, "m²", 1e-9, 1e4)
    view = exchange_m2 / area_m2[:, None]
    from_source: Array = np.asarray(
        np.linalg.inv(np.eye(len(area_m2)) - view * (1 - emissivity)[None, :]), float
    )
    return Enclosure(
        view=view,
        area_m2=area_m2,
        emissivity=emissivity,
        from_emission=np.ascontiguousarray(from_source @ (view * emissivity[None, :])),
        from_source=from_source,
    )
