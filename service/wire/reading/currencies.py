"""Wire: currencies and the decimals of their smaller unit, as Babel has them from CLDR."""

from __future__ import annotations

from functools import cache
from typing import Final

from babel.numbers import get_currency_precision, list_currencies

WITHOUT_UNIT: Final = frozenset(
    {
        "XAG", "XAU", "XPD", "XPT",
        "XBA", "XBB", "XBC", "XBD", "XDR", "XSU", "XUA",
        "XTS", "XXX",
        "XEU", "XFO", "XFU", "XRE",
    }
)  # fmt: skip
"""Metals; units of account; the code for tests and the code for none; units that are withdrawn.
ISO 4217 gives them no minor unit (from memory); Babel answers with two decimals."""


@cache
def currencies() -> frozenset[str]:
    """Every currency's code, those without a smaller unit too."""
    return frozenset(list_currencies())


@cache
def decimals_of(currency: str) -> int:
    """Decimals of a currency's smaller unit.

    >>> decimals_of("USD"), decimals_of("JPY"), decimals_of("BHD")
    (2, 0, 3)
    """
    return get_currency_precision(currency)
