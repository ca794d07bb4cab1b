"""A level that wanders, a weekday's own lift, and what is known beforehand (holiday, bookings, season).

The structural model of Harvey (Forecasting, Structural Time Series Models and the Kalman Filter, 1989), by
statsmodels. Its states are learned day by day, so what it says of each past day uses only days before it;
only the two variances are fitted to all of them. Days that are missing are let pass.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np

from hearthtide.ranges import Array

MOST_STEPS = 200  # of the fit of two variances; it takes some twenty


@dataclass(frozen=True, eq=False)
class Followed:
    """States as they stood on the morning of each day, one column a day, and one for the morning after.

    `design` picks the level and the weekday's lift; what is known beforehand has the last `knowns` states.
    `variances` can be handed to a later fit in place of fitting them anew; `settled`: whether their fit came
    to an end (what they are worth shows in the misses either way).
    """

    states: Array
    transition: Array
    design: Array
    knowns: int
    variances: Array
    settled: bool

    def ahead(self, known: Array, days: int) -> Array:
        """What was said of each day `days` days before it: a value for every morning whose day is in `known`.

        Value t is of day t + days - 1, told on morning t. `known` has a row for each day, those to come too.
        """
        moved = np.linalg.matrix_power(self.transition, days - 1) @ self.states
        told = min(moved.shape[1], len(known) - days + 1)
        values: Array = self.design @ moved[:, :told]
        if self.knowns:
            rows = known[days - 1 : days - 1 + told]
            values = values + np.sum(rows.T * moved[-self.knowns :, :told], axis=0)
        return values


def follow(values: Array, known: Array, variances: Array | None = None) -> Followed:
    """The model over `values` (not-a-number: missing), each day with its row of `known` (maybe no column)."""
    from statsmodels.tools.sm_exceptions import ConvergenceWarning
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    n, knowns = len(values), known.shape[1]
    given: dict[str, Any] = {"exog": known[:n], "mle_regression": False} if knowns else {}
    model = UnobservedComponents(values, level="llevel", seasonal=7, stochastic_seasonal=False, **given)
    settled = True
    if variances is None:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", ConvergenceWarning)  # told by `settled`
            found = model.fit(disp=False, maxiter=MOST_STEPS, method="lbfgs")
        variances, settled = np.asarray(found.params), bool(found.mle_retvals["converged"])
    else:
        found = model.filter(variances)
    design = np.atleast_2d(np.asarray(model.ssm["design"])[0].T)[0].copy()
    if knowns:
        design[-knowns:] = 0.0
    transition = np.asarray(model.ssm["transition"])
    return Followed(
        states=np.asarray(found.filter_results.predicted_state),
        transition=transition if transition.ndim == 2 else transition[:, :, 0],
        design=design,
        knowns=knowns,
        variances=variances,
        settled=settled,
    )
