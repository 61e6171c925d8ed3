"""What goes out to other tools: a record, and where need be its transcript, as text of another form."""

from __future__ import annotations

from extract.export.forms import FORMS, ExportForm, Options

__all__ = ["FORMS", "ExportForm", "Options"]
