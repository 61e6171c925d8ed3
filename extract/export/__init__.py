"""A record, with its transcript if need be, as text for other tools."""

from __future__ import annotations

from extract.export.forms import FORMS, ExportForm, Options

__all__ = ["FORMS", "ExportForm", "Options"]
