"""The command ``saidscore``, a module for each group of commands."""
