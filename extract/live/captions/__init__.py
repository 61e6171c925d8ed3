"""Lines as they come, as captions: how each format says where one begins and ends."""

from extract.live.captions.model import Broken, Kind, Piece, Splitter

__all__ = ["Broken", "Kind", "Piece", "Splitter"]
