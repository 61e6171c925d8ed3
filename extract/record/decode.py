"""Builds the record's dataclasses from parsed JSON, guided by their type annotations."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from math import isfinite
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

#: Greater whole numbers are not kept by every reader of JSON (RFC 7493, "The I-JSON Message Format", 2.2).
_MOST = 2**53 - 1


class Mismatch(ValueError):
    """A value that does not fit its place; the message names the place, as ``events[3].corner: ...``."""


def decode(wanted: Any, value: Any, place: str = "") -> Any:
    """``value`` as the type ``wanted``: a dataclass, tuple, mapping, Literal, union, str, int, float or None.

    Keys that a dataclass lacks are ignored, so records with added fields can be read. A missing key takes the field's
    default. Raises Mismatch.
    """
    origin = get_origin(wanted)
    if is_dataclass(wanted) and isinstance(wanted, type):
        return _decode_dataclass(wanted, value, place)
    if origin in (Union, types.UnionType):
        return _decode_union(get_args(wanted), value, place)
    if origin is Literal:
        if value in get_args(wanted):
            return value
        raise Mismatch(_said(place, "one of " + ", ".join(map(str, get_args(wanted))), value))
    if origin is tuple:
        return _decode_tuple(get_args(wanted), value, place)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        if not isinstance(value, dict):
            raise Mismatch(_said(place, "an object", value))
        return {key: decode(get_args(wanted)[1], item, f"{place}.{key}") for key, item in value.items()}
    if wanted is float and isinstance(value, int) and not isinstance(value, bool):
        try:
            return float(value)
        except OverflowError:
            raise Mismatch(_said(place, "a number", "one that is too large")) from None
    if (
        isinstance(value, wanted)
        and (wanted is bool or not isinstance(value, bool))
        and (wanted is not float or isfinite(value))
    ):
        if wanted is int and abs(value) > _MOST:
            raise Mismatch(_said(place, f"a whole number of at most {_MOST}", value))
        return value
    raise Mismatch(_said(place, _IN_WORDS[wanted], value))


_IN_WORDS = {str: "text", bool: "true or false", int: "a whole number", float: "a number", type(None): "null"}


def _decode_dataclass(wanted: Any, value: Any, place: str) -> Any:
    if not isinstance(value, dict):
        raise Mismatch(_said(place, "an object", value))
    hints = _hints(wanted)
    arguments = {}
    for field in fields(wanted):
        key = key_of(field.name)
        inner = f"{place}.{key}" if place else key
        if key in value:
            arguments[field.name] = decode(hints[field.name], value[key], inner)
        elif field.default is MISSING:
            raise Mismatch(f"{inner}: missing")
    return wanted(**arguments)


def _decode_union(arms: tuple[Any, ...], value: Any, place: str) -> Any:
    # If one arm has the value's shape, its error says more than "none of these fits".
    failures: list[Mismatch] = []
    for arm in arms:
        try:
            return decode(arm, value, place)
        except Mismatch as failure:
            if arm is not type(None):
                failures.append(failure)
    raise failures[0]


def _decode_tuple(arms: tuple[Any, ...], value: Any, place: str) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise Mismatch(_said(place, "a list", value))
    if arms[-1] is Ellipsis:
        arms = (arms[0],) * len(value)
    if len(arms) != len(value):
        raise Mismatch(_said(place, f"a list of {len(arms)}", value))
    return tuple(
        decode(arm, item, f"{place}[{i}]") for i, (arm, item) in enumerate(zip(arms, value, strict=True))
    )


def key_of(field_name: str) -> str:
    """The JSON key of a field: its name, without the underscore that keeps it from being a Python keyword."""
    return field_name.removesuffix("_")


@cache
def _hints(wanted: Any) -> dict[str, Any]:
    return get_type_hints(wanted)


def _said(place: str, wanted: str, value: Any) -> str:
    shown = repr(value)
    return (
        f"{place or 'record'}: expected {wanted}, found {shown if len(shown) <= 40 else shown[:37] + '...'}"
    )
