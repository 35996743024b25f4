"""The two ways of calculating with decimals: exactly, and to 28 digits where a root or a quotient cannot end.

Decimal's operators round to whatever context the thread happens to have. Sums and products of readings and
limits must not: `12 V ± 5 %` ends at 11.40 V and nowhere near it. They therefore go through `EXACT`, which
has room for every digit.
"""

from decimal import MAX_EMAX, MAX_PREC, MIN_EMIN, ROUND_HALF_EVEN, Context

EXACT = Context(prec=MAX_PREC, Emax=MAX_EMAX, Emin=MIN_EMIN)
"""For sums, products and shifts only: these end, whatever their length. Never for a root or a quotient."""

ROOT = Context(prec=28, rounding=ROUND_HALF_EVEN)
"""For square roots and quotients: 28 significant digits, last one rounded half to even."""
