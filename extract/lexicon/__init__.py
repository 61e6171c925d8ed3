"""Lexicons: what words mean in commentary, read from the folders of ``lexicons/`` and from a user's own files."""

from extract.lexicon.entries import Entry
from extract.lexicon.load import Lexicon, load_lexicon, small_words
from extract.lexicon.styles import Style, load_styles

__all__ = ["Entry", "Lexicon", "Style", "load_lexicon", "load_styles", "small_words"]
