"""Ways of saying as rows of data, and the engine that finds them in words of which each has features. It knows no
English."""

from extract.phrases.find import Hit, Rows
from extract.phrases.match import Match, Typed
from extract.phrases.pattern import BadPattern, Pattern, read_items, read_pattern
from extract.phrases.row import Near, Row

__all__ = [
    "BadPattern",
    "Hit",
    "Match",
    "Near",
    "Pattern",
    "Row",
    "Rows",
    "Typed",
    "read_items",
    "read_pattern",
]
