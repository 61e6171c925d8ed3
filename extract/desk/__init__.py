"""The correction desk: a page that this machine serves to itself, on which a person corrects a bout."""

from extract.desk.app import desk_app
from extract.desk.bout import DeskBout, DeskOptions, open_bout

__all__ = ["DeskBout", "DeskOptions", "desk_app", "open_bout"]
