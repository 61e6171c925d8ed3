"""A bout while it happens: captions as they come, the score after each, and stated scores that do not fit it."""
