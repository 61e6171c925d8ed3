"""Intervals for shares that were counted on a sample."""

from __future__ import annotations

from math import ceil, sqrt
from statistics import NormalDist

LEVEL = 0.95


def _z(level: float) -> float:
    return NormalDist().inv_cdf(0.5 + level / 2)


def wilson(found: float, of: float, level: float = LEVEL) -> tuple[float, float]:
    """The score interval of a share, ``found`` of ``of`` (both may be effective numbers and need not be whole): E. B.
    Wilson,
    Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22 (1927) 209-212.

    >>> low, high = wilson(0, 20)
    >>> round(low, 3), round(high, 3)
    (0.0, 0.161)
    """
    if of <= 0:
        return 0.0, 1.0
    z2 = _z(level) ** 2
    share = found / of
    middle = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = sqrt(z2 * (share * (1 - share) / of + z2 / (4 * of * of))) / (1 + z2 / of)
    return max(middle - half, 0.0), min(middle + half, 1.0)


def sample_for(share: float, half: float, population: int, level: float = LEVEL) -> int:
    """How many of ``population`` to look at, if a share is expected to be ``share`` and its interval should reach
    about ``half`` to either side (W. G. Cochran, Sampling Techniques, 3rd ed. 1977, section 4.4).

    >>> sample_for(0.5, 0.05, 10**9), sample_for(0.5, 0.05, 500)
    (385, 218)
    """
    if population <= 0:
        return 0
    wanted = _z(level) ** 2 * share * (1 - share) / half**2
    return min(ceil(wanted / (1 + (wanted - 1) / population)), population)
