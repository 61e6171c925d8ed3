"""The review desk: a page of this machine's own on which a person puts a bout right."""

from extract.desk.app import desk_app
from extract.desk.bout import DeskBout, DeskOptions, open_bout

__all__ = ["DeskBout", "DeskOptions", "desk_app", "open_bout"]
