"""How sure a household may want to be that its stock lasts until the next delivery."""

SURE = (95, 98, 99)
"""In so many of 100 the stock is to outlast a delivery; the household chooses, the first is the usual one."""
