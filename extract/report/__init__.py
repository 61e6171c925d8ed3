"""The report: one page in one file to look at a bout, offline."""

from extract.report.page import report_page

__all__ = ["report_page"]
