"""Web applications for this machine alone: what the correction desk and the live desk share."""

from extract.served.body import Unusable, json_of
from extract.served.local import base_of, local_app, problem

__all__ = ["Unusable", "base_of", "json_of", "local_app", "problem"]
