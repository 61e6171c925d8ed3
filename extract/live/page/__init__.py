"""The page of the live desk, served to this machine alone."""

from extract.live.page.app import live_app

__all__ = ["live_app"]
