"""The report: one offline page in one file to look at a bout."""

from extract.report.page import report_page

__all__ = ["report_page"]
