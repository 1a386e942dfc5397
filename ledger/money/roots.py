"""How many roots a polynomial has between two points, exactly."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from math import gcd

_MOST_HALVINGS = 24


def count_roots(coefficients: Sequence[Fraction], low: Fraction, high: Fraction) -> int:
    """How often a polynomial (rising powers) vanishes in [low, high], 0 < low: each crossing 1, each touching 2.

    Exact, in whole numbers. Descartes' rule of signs settles no or one change of sign; else the interval is halved
    until the rule settles every part; roots that touch, or lie too close for that, are counted by Sturm's chain, and
    the signs at the ends tell a crossing from a touching one.

    Source
    ------
    Collins & Akritas 1976, Polynomial real root isolation using Descartes' rule of signs; Sturm's theorem.
    """
    trimmed = _whole(coefficients)
    if len(trimmed) < 2:
        return 0
    ends = _at(trimmed, low), _at(trimmed, high)
    if 0 in ends:
        return count_roots(coefficients, low * Fraction(999_999, 1_000_000), high * Fraction(1_000_001, 1_000_000))
    crossing = (ends[0] > 0) != (ends[1] > 0)
    if _changes(trimmed) <= 1:
        return int(crossing)
    simple = _simple_roots(_on_unit_interval(trimmed, low, high), _MOST_HALVINGS)
    if simple is not None:
        return simple
    distinct = _distinct_roots(trimmed, low, high)
    return distinct + 1 if distinct % 2 != int(crossing) else distinct


def _whole(coefficients: Sequence[Fraction]) -> list[int]:
    """The same polynomial in whole numbers without a common factor, zeros at both ends removed."""
    terms = list(coefficients)
    while terms and terms[-1] == 0:
        terms.pop()
    while terms and terms[0] == 0:
        terms.pop(0)
    denominator = 1
    for term in terms:
        denominator = denominator * term.denominator // gcd(denominator, term.denominator)
    return _primitive([int(term * denominator) for term in terms])


def _primitive(terms: list[int]) -> list[int]:
    divisor = gcd(*terms) if terms else 1
    return [term // divisor for term in terms] if divisor > 1 else terms


def _at(terms: Sequence[int], x: Fraction) -> int:
    """A whole number with the sign of the polynomial at x > 0 (its value · denominator^degree)."""
    total, scale = 0, 1
    for term in reversed(terms):
        total = total * x.numerator + term * scale
        scale *= x.denominator
    return total


def _changes(values: Sequence[int]) -> int:
    signs = [value > 0 for value in values if value != 0]
    return sum(a != b for a, b in pairwise(signs))


def _on_unit_interval(terms: Sequence[int], low: Fraction, high: Fraction) -> list[int]:
    """The polynomial of t with x = low + t · (high − low), in whole numbers: roots in the interval lie in 0 < t < 1."""
    width = high - low
    denominator = low.denominator * width.denominator // gcd(low.denominator, width.denominator)
    start, step = int(low * denominator), int(width * denominator)
    degree = len(terms) - 1
    shifted = [term * denominator ** (degree - k) for k, term in enumerate(terms)]
    _shift(shifted, start)
    return _primitive([term * step**k for k, term in enumerate(shifted)])


def _simple_roots(terms: list[int], halvings: int) -> int | None:
    """Roots in 0 < t < 1 where halving separates them, each crossing; None where it does not."""
    turned = terms[::-1]
    _shift(turned, 1)
    bound = _changes(turned)
    if bound <= 1:
        return bound
    degree = len(terms) - 1
    left = [term << (degree - k) for k, term in enumerate(terms)]
    right = list(left)
    _shift(right, 1)
    if halvings == 0 or right[0] == 0:
        return None
    below = _simple_roots(_primitive(left), halvings - 1)
    if below is None:
        return None
    above = _simple_roots(_primitive(right), halvings - 1)
    return None if above is None else below + above


def _shift(terms: list[int], by: int) -> None:
    """Replace p(x) by p(x + by), in place (Horner's scheme)."""
    for first in range(len(terms) - 1):
        for k in range(len(terms) - 2, first - 1, -1):
            terms[k] += by * terms[k + 1]


def _distinct_roots(terms: list[int], low: Fraction, high: Fraction) -> int:
    """Distinct real roots between two points that are no roots. Source: Sturm's theorem."""
    chain = [terms, _primitive([k * term for k, term in enumerate(terms)][1:])]
    while len(chain[-1]) > 1:
        rest = _negative_remainder(chain[-2], chain[-1])
        if not rest:
            break
        chain.append(rest)
    return _changes([_at(p, low) for p in chain]) - _changes([_at(p, high) for p in chain])


def _negative_remainder(dividend: list[int], divisor: list[int]) -> list[int]:
    """−(remainder of the division), up to a positive factor, in whole numbers."""
    rest, lead = list(dividend), divisor[-1]
    while len(rest) >= len(divisor):
        top, shift = rest[-1], len(rest) - len(divisor)
        factor = abs(lead)
        step = top if lead > 0 else -top
        rest = [factor * term for term in rest]
        for k, term in enumerate(divisor):
            rest[shift + k] -= step * term
        rest.pop()
        while rest and rest[-1] == 0:
            rest.pop()
    return _primitive([-term for term in rest])
