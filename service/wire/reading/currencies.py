"""Wire: the known currencies, from CLDR by way of Babel, and the decimals of their minor unit."""

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
"""Codes without a minor unit in ISO 4217 (from memory), for which Babel says two decimals: metals;
units of account; the codes for tests and for no currency; withdrawn units."""

BY_ISO: Final = {
    "AFN": 2, "ALL": 2, "IQD": 3, "IRR": 2, "KPW": 2, "LAK": 2, "LBP": 2,
    "MGA": 2, "MMK": 2, "RSD": 2, "SOS": 2, "SYP": 2, "YER": 2,
}  # fmt: skip
"""Decimals by ISO 4217 (list one, published 2026-01-01) of currencies to which CLDR gives none.
Nobody has their minor unit in cash, but prices and invoices still use it."""


@cache
def currencies() -> frozenset[str]:
    """The code of every known currency, those without a minor unit included."""
    return frozenset(list_currencies())


@cache
def decimals_of(currency: str) -> int:
    """Decimals of a currency's minor unit.

    >>> decimals_of("USD"), decimals_of("JPY"), decimals_of("BHD"), decimals_of("RSD")
    (2, 0, 3, 2)
    """
    return BY_ISO.get(currency, get_currency_precision(currency))
