"""The talk as words: tokens, words with their places and times, numbers, terms of the lexicon; what a word is by itself."""
