"""Numbers of a written sum as people write them."""

from decimal import Decimal

_WHOLE_FROM = 1e6


def plain(value: float) -> str:
    """A number to six figures, with a comma in thousands and never as a power of ten; a million or more is whole.

    >>> plain(1e6), plain(1234567.4), plain(12.5), plain(100 / 3), plain(0.00002)
    ('1,000,000', '1,234,567', '12.5', '33.3333', '0.00002')
    """
    return f"{Decimal(f'{value:.0f}' if abs(value) >= _WHOLE_FROM else f'{value:.6g}'):,f}"
