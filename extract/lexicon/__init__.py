"""Lexicons: what words mean in commentary, read from ``lexicons/*.toml``."""

from extract.lexicon.load import Entry, Lexicon, load_lexicon

__all__ = ["Entry", "Lexicon", "load_lexicon"]
