"""Every rule of care: what it declares, and beside it the code that works it out."""
