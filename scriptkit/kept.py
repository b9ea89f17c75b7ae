"""A property that is worked out when it is first asked for, and kept: functools.cached_property without its lock, which until Python 3.12
costs more than most of what is kept. Nothing here is shared between threads before it is whole."""

from __future__ import annotations

import functools
from typing import Any, Self, TypeVar, overload

_T = TypeVar("_T")


class kept(functools.cached_property[_T]):  # noqa: N801 — a decorator
    """As functools.cached_property, without a lock."""

    @overload
    def __get__(self, instance: None, owner: type[Any] | None = None) -> Self: ...
    @overload
    def __get__(self, instance: object, owner: type[Any] | None = None) -> _T: ...
    def __get__(self, instance: object | None, owner: type[Any] | None = None) -> Self | _T:
        if instance is None:
            return self
        value = self.func(instance)
        instance.__dict__[self.attrname or ""] = value
        return value
