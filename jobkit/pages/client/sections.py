"""The sections of the papers: by its name a bench gives a section words and layout of its own."""

from __future__ import annotations

from collections.abc import Mapping

NAMES: Mapping[str, str] = {
    "What came": "came",
    "What we found": "found",
    "What we did": "work",
    "Photos": "photos",
    "Readings before and after": "readings",
    "How we tested it": "tests",
    "What we still have to test": "tests",
    "Parts": "parts",
    "What we propose": "proposal",
    "Price": "price",
    "If you decline": "decline",
    "If it comes back without a repair": "unrepaired",
    "If you agree": "agree",
    "Your answer": "agree",
    "Warranty": "warranty",
    "Notes and messages": "messages",
    "Corrections to this report": "corrections",
    "What happens next": "next",
    "Terms": "terms",
    "Before you fit it": "cautions",
    "Take care": "cautions",
}
"""The name of each section, by its English title: two titles that take turns have one name."""

TOP = "top"
"""What every paper begins with: from whom, to whom, about what."""

OF_BILLS = ("lines", "payments", "balance", "notes")
"""The sections of bill and credit note, which have no titles."""

EVERY = frozenset((TOP, *NAMES.values(), *OF_BILLS))

ALWAYS_WHOLE = frozenset((TOP, "cautions", "unrepaired", "warranty", "corrections", "price", *OF_BILLS))
"""What keeps a client from harm, or binds: a bench may add to it, and not leave it out."""
