"""Lexicons: what words mean in commentary, read from ``lexicons/*.toml``."""

from extract.lexicon.load import Entry, Lexicon, load_lexicon, small_words, style_words

__all__ = ["Entry", "Lexicon", "load_lexicon", "small_words", "style_words"]
