"""Wire: currencies and the decimals of their smaller unit, as Babel has them from CLDR."""

from __future__ import annotations

from functools import cache

from babel.numbers import get_currency_precision, list_currencies


@cache
def currencies() -> frozenset[str]:
    """Every currency's code."""
    return frozenset(list_currencies())


@cache
def decimals_of(currency: str) -> int:
    """Decimals of a currency's smaller unit.

    >>> decimals_of("USD"), decimals_of("JPY"), decimals_of("BHD")
    (2, 0, 3)
    """
    return get_currency_precision(currency)
