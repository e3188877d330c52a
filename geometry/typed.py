"""Figures as people write them in a blank: one reading for every page and sum."""

import re

A_NUMBER = re.compile(r"[+-]?(\d{1,3}(,\d{3})+|\d{1,12})?(\.\d{1,12})?(?<=\d)", re.ASCII)
DECIMAL_COMMA = re.compile(r"[+-]?\d*,(\d{1,2}|\d{4,}) *[a-z°]*", re.ASCII | re.IGNORECASE)


def typed_number(text: str) -> float | None:
    """A plain number, or None. A comma parts thousands and nothing else.

    >>> typed_number("1,400"), typed_number("−2.5"), typed_number("1,5"), typed_number("1_000")
    (1400.0, -2.5, None, None)
    """
    plain = text.replace("−", "-").strip()
    return float(plain.replace(",", "")) if A_NUMBER.fullmatch(plain) else None


def has_decimal_comma(text: str) -> bool:
    """Whether a comma may stand for a decimal point, so that a figure could be read in two ways.

    >>> has_decimal_comma("2,4 m"), has_decimal_comma("12,500")
    (True, False)
    """
    return DECIMAL_COMMA.fullmatch(text.replace("−", "-").strip()) is not None


def is_count(text: str) -> bool:
    """Whether it is a whole number as a page sends one: up to nine plain digits.

    >>> is_count("17"), is_count("-1"), is_count(""), is_count("٣"), is_count("9" * 5000)
    (True, False, False, False, False)
    """
    return text.isascii() and text.isdecimal() and len(text) <= 9
