"""Figures at the precision a cook can believe: quarter minutes, whole degrees, whole percents.

How fine: whole minutes above five, quarter minutes below; common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from hearthtide.house.models import COLOUR_STEP
from hearthtide.quantities.show import clock_text, duration_text

QUARTER_S = 15


def clock(time_s: float) -> str:
    """A time of day to the quarter minute.

    >>> clock(68835), clock(62542), clock(69724)
    ('19:07:15', '17:22:15', '19:22')
    """
    return clock_text(_quarters(time_s))


def stretch(seconds: float) -> str:
    """A stretch of time: quarter minutes below five minutes, whole minutes from there, hours from one on.

    >>> stretch(194), stretch(3), stretch(725), stretch(9000)
    ('3:15', '0:00', '12:00', '2 h 30 min')
    """
    if seconds >= 3600:
        hours, minutes = divmod(round(seconds / 60), 60)
        return f"{hours} h {minutes} min"
    if seconds >= 300:
        return duration_text(60 * round(seconds / 60))
    return duration_text(_quarters(seconds))


def late_words(late_s: float, allowed_s: float = 0.0) -> str:
    """How a landing meets the wanted minute, in words.

    >>> late_words(200, 120), late_words(60, 120), late_words(-120), late_words(4)
    ('3:15 late', '1:00 after', '2:00 early', 'on time')
    """
    if abs(late_s) < QUARTER_S / 2:
        return "on time"
    if late_s < 0:
        return f"{stretch(-late_s)} early"
    return f"{stretch(late_s)} late" if late_s > allowed_s else f"{stretch(late_s)} after"


def colour_word(step: float) -> str:
    """The word nearest to a step of the colour scale; beyond the ends, the end's word.

    >>> colour_word(3.2), colour_word(9)
    ('golden', 'dark')
    """
    return min(COLOUR_STEP, key=lambda word: abs(COLOUR_STEP[word] - step))


def degrees(temperature_C: float) -> str:
    """A temperature without its letter, for tables and pictures that say °C once.

    >>> degrees(344.6)
    '345'
    """
    return f"{temperature_C:.0f}"


def span_text(values: Sequence[float], digits: int = 0) -> str:
    """From the least to the greatest, or the one figure when both read the same.

    >>> span_text([73.6, 80.2]), span_text([99.8, 100.1])
    ('74 to 80', '100')
    """
    least, most = f"{min(values):.{digits}f}", f"{max(values):.{digits}f}"
    return least if least == most else f"{least} to {most}"


def percent(share: float) -> str:
    """
    >>> percent(0.134)
    '13 %'
    """
    return f"{100 * share:.0f} %"


def _quarters(seconds: float) -> int:
    return QUARTER_S * round(seconds / QUARTER_S)
