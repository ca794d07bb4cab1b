"""Our steps ahead against statsmodels' own forecasts, of all days and of days cut off."""

import numpy as np
import pytest
from statsmodels.tsa.statespace.structural import UnobservedComponents

from hearthtide.day.structural import follow

pytestmark = pytest.mark.subject("forecasts")


def days(n=180):
    rng = np.random.default_rng(2)
    known = np.column_stack((rng.random(n + 10) < 0.05, rng.normal(size=n + 10))).astype(float)
    week = np.tile([0.0, 0.4, 0.8, 1.2, 3.0, 3.5, 1.0], n)[:n]
    values = 8 + week + 1.5 * known[:n, 0] + 0.5 * known[:n, 1] + rng.normal(0, 0.4, n)
    values[::7] = np.nan  # shut on the first weekday
    return values, known


@pytest.mark.parametrize("knowns", [0, 2])
def test_steps_ahead_are_the_library_s_own(published, knowns):
    values, known = days()
    known = known[:, :knowns]
    followed = follow(values, known)
    for cut in (len(values), 100, 61):
        given = {"exog": known[:cut], "mle_regression": False} if knowns else {}
        model = UnobservedComponents(
            values[:cut], level="llevel", seasonal=7, stochastic_seasonal=False, **given
        )
        later = {"exog": known[cut : cut + 9]} if knowns else {}
        own = np.asarray(model.filter(followed.variances).forecast(9, **later))
        ours = [followed.ahead(known if knowns else np.zeros((190, 0)), h)[cut] for h in range(1, 10)]
        for h in (1, 2, 7, 9):
            published(
                "steps ahead of the structural model",
                "statsmodels' own forecast from the days before",
                expected=float(own[h - 1]),
                computed=float(ours[h - 1]),
                absolute=1e-6,
                unit="roots of covers",
                at=f"{h} days after day {cut}, {knowns} knowns",
            )
